// The engine is typechecked without a browser's or Node's types, and both have it.
declare const WebAssembly: {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: object };
};

/** What each compiled module (a `.wat` beside what uses it) exports besides its loops. */
export interface KernelMemory {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
}

const PAGE = 1 << 16;

/**
 * A compiled module, started when first asked for: call what is returned with the bytes of memory that are needed at
 * least. All who use it share the memory, so what lies there holds until the next asks.
 */
export function kernelOf<Loops>(module: Uint8Array): (bytes: number) => Loops & KernelMemory {
  let kernel: (Loops & KernelMemory) | undefined;
  return (bytes) => {
    kernel ??= new WebAssembly.Instance(new WebAssembly.Module(module)).exports as Loops & KernelMemory;
    const lacking = bytes - kernel.memory.buffer.byteLength;
    if (lacking > 0) kernel.memory.grow(Math.ceil(lacking / PAGE));
    return kernel;
  };
}

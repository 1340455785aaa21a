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

/** Whose tables lie in a kernel's memory, beside what each call brings along. */
export interface Tenant<Loops> {
  /** Lays them there: somebody else's may have taken their place since. */
  lay(kernel: Loops & KernelMemory): void;
}

/**
 * A compiled module, started when first asked for: call what is returned with the bytes of memory that are needed at
 * least, and with whose tables must lie in it. All of a thread share the memory, since each one of its own would reserve
 * gigabytes of addresses; what a caller without tables lays there holds until the next asks.
 */
export function kernelOf<Loops>(
  module: Uint8Array,
): (bytes: number, tenant?: Tenant<Loops>) => Loops & KernelMemory {
  let kernel: (Loops & KernelMemory) | undefined;
  let laid: Tenant<Loops> | undefined;
  return (bytes, tenant) => {
    kernel ??= new WebAssembly.Instance(new WebAssembly.Module(module)).exports as Loops & KernelMemory;
    const lacking = bytes - kernel.memory.buffer.byteLength;
    if (lacking > 0) kernel.memory.grow(Math.ceil(lacking / PAGE));
    if (tenant && tenant !== laid) tenant.lay(kernel);
    laid = tenant;
    return kernel;
  };
}

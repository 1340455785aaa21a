/** Unpacks deflated bytes (RFC 1951). */
export async function inflate(bytes: Uint8Array): Promise<Uint8Array<ArrayBuffer>> {
  const stream = new Blob([bytes as Uint8Array<ArrayBuffer>]).stream();
  const unpacked = stream.pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(unpacked).arrayBuffer());
}

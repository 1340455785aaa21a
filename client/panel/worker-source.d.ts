/** The source text of a worker, bundled (bundle.ts). */
declare module "worker:*" {
  const source: string;
  export default source;
}

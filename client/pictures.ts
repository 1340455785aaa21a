/** Ends of names of files that artwork may be. */
export const PICTURES = ["png", "jpg", "jpeg", "tif", "tiff", "webp", "gif", "avif", "svg", "pdf", "ai"];

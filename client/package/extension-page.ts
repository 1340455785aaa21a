/**
 * README as the editor shows it on the extension's page, which finds no files beside it and takes pictures from the network
 * alone: pictures are left out, and of links to files only the words stay.
 */
export function extensionPage(readme: string): string {
  const withoutPictures = readme.replace(/\n?(?:^!\[[^\]]*\]\([^)]*\)\n)+/gm, "");
  return withoutPictures.replace(/\[([^\]]+)\]\((?!https?:|#)[^)]*\)/g, "$1");
}

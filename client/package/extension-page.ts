import { readFile } from "node:fs/promises";
import { join } from "node:path";

/**
 * README as the editor shows it on the extension's page, which finds no files beside it: pictures are written into the
 * text, and of links to files only the words stay.
 */
export async function extensionPage(readme: string, root: string): Promise<string> {
  const pictures = [...readme.matchAll(/!\[([^\]]*)\]\(([\w./-]+\.png)\)/g)];
  let page = readme;
  for (const [whole, alt, file] of pictures) {
    const data = (await readFile(join(root, file!))).toString("base64");
    page = page.replace(whole, () => `![${alt}](data:image/png;base64,${data})`);
  }
  return page.replace(/(?<!!)\[([^\]]+)\]\((?!https?:|#)[^)]*\)/g, "$1");
}

/**
 * README as the editor shows it on the extension's page, which finds no files beside it: pictures, PNG that `picture` gives
 * by their path, stand in the text, and of links to files only the words stay.
 */
export function extensionPage(readme: string, picture: (path: string) => Uint8Array): string {
  const withPictures = readme.replace(
    /!\[([^\]]*)\]\((?!https?:)([^)]*)\)/g,
    (_, words: string, path: string) => {
      const bytes = Buffer.from(picture(path)).toString("base64");
      return `![${words}](data:image/png;base64,${bytes})`;
    },
  );
  return withPictures.replace(/(?<!!)\[([^\]]+)\]\((?!https?:|#|data:)[^)]*\)/g, "$1");
}

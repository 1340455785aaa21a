/** What is used of the package sax. */
declare module "sax" {
  export interface Parser {
    line: number;
    onopentag: (tag: { name: string; attributes: Record<string, string> }) => void;
    onclosetag: (name: string) => void;
    ontext: (text: string) => void;
    ondoctype: (text: string) => void;
    onerror: (error: Error) => void;
    write(text: string): Parser;
    close(): Parser;
  }
  const sax: { parser(strict: boolean): Parser };
  export default sax;
}

/** The little of papaparse that this folder uses; the package ships no types of its own. */
declare module 'papaparse' {
  interface ParseOptions {
    readonly delimiter: string;
    readonly newline?: '\n';
    readonly quoteChar?: string;
  }
  const Papa: {
    parse(text: string, options: ParseOptions): { readonly data: string[][] };
  };
  export default Papa;
}

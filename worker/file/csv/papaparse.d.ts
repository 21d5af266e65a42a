/** Types for the part of papaparse used in this folder; the package ships none. */
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

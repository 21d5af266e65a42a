/** Types for the part of the library that the tests use; it has none of its own. */
declare module 'js-quantities' {
  export default class Qty {
    constructor(value: number, unit: string);
    readonly scalar: number;
    to(unit: string): Qty;
  }
}

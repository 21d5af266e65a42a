/** The little of the library that the tests use; it brings no types of its own. */
declare module 'js-quantities' {
  export default class Qty {
    constructor(value: number, unit: string);
    readonly scalar: number;
    to(unit: string): Qty;
  }
}

export type ExampleId = 'example-four' | 'example-six' | 'example-twin';

/** In the order of the list. */
export const EXAMPLE_IDS: readonly ExampleId[] = ['example-four', 'example-six', 'example-twin'];

/** Engine ids of the examples in the store. */
export type ExampleId = 'example-four' | 'example-six' | 'example-twin';

/** In the order in which they are made. */
export const EXAMPLE_IDS: readonly ExampleId[] = ['example-four', 'example-six', 'example-twin'];

/** Key of the draft that says that readings of this test are typed: the Crank step then opens with the dial gauge. */
export const dialKey = (testId: string): string => `typed ${testId}`;

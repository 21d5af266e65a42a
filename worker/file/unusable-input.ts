/** A file or option of the command line that cannot be used. The message is shown to the user as one line. */
export class UnusableInput extends Error {}

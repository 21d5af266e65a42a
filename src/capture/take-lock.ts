/** Lock name. Held by the tab that writes this take, so that another tab does not offer it as unfinished. */
export const takeLock = (takeId: string): string => `strokebook-take-${takeId}`;

/** Where what a session file holds comes from. */
export type SessionOrigin = 'measured' | 'simulated' | 'recording' | 'typed' | 'example';

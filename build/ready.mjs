/** Before a command that needs only what a first install brings: on a fresh clone it installs, else it costs nothing. */
import { existsSync } from 'node:fs';
import { installPackages, root } from './install.mjs';

if (!existsSync(`${root}node_modules/tsx`)) installPackages();

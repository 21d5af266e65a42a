/** Runs before commands that need only installed packages. Installs them on a fresh clone; otherwise returns at once. */
import { existsSync } from 'node:fs';
import { installPackages, root } from './install.mjs';

if (!existsSync(`${root}node_modules/tsx`)) installPackages();

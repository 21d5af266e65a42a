/**
 * Measures how fast the app is for its user, in Chromium with the processor slowed down four times:
 * `npm run pace -- [load] [sensor] [results] [care]`, all when none is named. Every figure is printed beside its limit; the exit
 * code is 1 when one is missed. Task times are computing times, but on a busy machine the paints come later.
 */
import { type ServedApp, serveBuiltApp } from '../support/built-app.ts';
import { care } from './pace/care.ts';
import { eightCylinders } from './pace/eight-cylinders.ts';
import { fastSensor } from './pace/fast-sensor.ts';
import { pageLoad } from './pace/page-load.ts';
import { type Figure, printFigures } from './speed/figure.ts';

const parts: Readonly<Record<string, (app: ServedApp) => Promise<Figure[]>>> = {
  load: ({ folder }) => pageLoad(folder),
  sensor: ({ url }) => fastSensor(url),
  results: ({ url }) => eightCylinders(url),
  care: ({ folder }) => care(folder),
};

const named = process.argv.slice(2);
const strange = named.filter((name) => !(name in parts));
if (strange.length > 0) {
  console.error(`There is no part ${strange.join(', ')}. Parts: ${Object.keys(parts).join(', ')}`);
  process.exit(2);
}

const app = await serveBuiltApp();
try {
  for (const [name, measure] of Object.entries(parts)) {
    if (named.length > 0 && !named.includes(name)) continue;
    console.log(name);
    if (!printFigures(await measure(app))) process.exitCode = 1;
  }
} finally {
  await app.close();
}

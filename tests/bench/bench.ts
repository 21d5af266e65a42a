/**
 * Measures speed, growth and size: `npm run bench -- [reading] [growth] [simulator] [size]`, all when none is named. Every
 * figure is printed beside its limit; the exit code is 1 when one is missed.
 */
import { againstScipy } from './speed/against-scipy.ts';
import { type Figure, printFigures } from './speed/figure.ts';
import { growth } from './speed/growth.ts';
import { type ShippedCore, shippedCore } from './speed/shipped-core.ts';
import { simulatorSpeed } from './speed/simulator.ts';
import { sizes } from './speed/size.ts';

const parts: Readonly<Record<string, (core: ShippedCore) => Figure[] | Promise<Figure[]>>> = {
  reading: againstScipy,
  growth,
  simulator: simulatorSpeed,
  size: sizes,
};

const named = process.argv.slice(2);
const strange = named.filter((name) => !(name in parts));
if (strange.length > 0) {
  console.error(`There is no part ${strange.join(', ')}. Parts: ${Object.keys(parts).join(', ')}`);
  process.exit(2);
}

const core = await shippedCore();
for (const [name, measure] of Object.entries(parts)) {
  if (named.length > 0 && !named.includes(name)) continue;
  console.log(name);
  if (!printFigures(await measure(core))) process.exitCode = 1;
}

/** Browsers and the server are killed at random moments while all of them change the library. */
import { createRandom } from '../../../simulator/random.ts';
import { en } from '../../../src/copy/en.ts';
import {
  freePort,
  type GarageDevice,
  joinLibrary,
  libraryIn,
  openDevice,
  removeDevice,
  startServerProcess,
  waitInStep,
} from '../../support/garage.ts';

/** An engine with one typed reading, made as a person does. */
async function addEngine({ app }: GarageDevice, name: string): Promise<void> {
  await app.goTo('engine');
  await app.page.getByLabel(en.setup.name, { exact: true }).fill(name);
  await app.button(en.card.save).click();
  await app.page.getByRole('heading', { name }).waitFor();
}

export async function killBothSides(
  appFolder: string,
  folder: string,
  deviceCount: number,
  kills: number,
  figure: (text: string, isMet?: boolean) => void,
): Promise<void> {
  const random = createRandom(deviceCount);
  const port = await freePort();
  let server = await startServerProcess(folder, port, appFolder);
  const devices: GarageDevice[] = [];
  let killsOfServer = 0;
  let survived = 0;
  const names: string[] = [];
  try {
    for (let i = 0; i < deviceCount; i++) {
      const device = await openDevice(server.url);
      devices.push(device);
      await joinLibrary(device, server.secret, `device ${i}`);
    }
    for (let i = 0; i < kills; i++) {
      const device = devices[i % deviceCount]!;
      const name = `Engine ${i}`;
      names.push(name);
      await addEngine(device, name);
      await new Promise((resolve) => setTimeout(resolve, random.between(0, 400)));
      if (i % 2 === 0) {
        await server.kill();
        killsOfServer++;
        server = await startServerProcess(folder, port, appFolder);
      } else {
        await device.browser.kill();
        Object.assign(device, await openDevice(server.url, device.profile));
        await device.app.goTo('/');
      }
      survived++;
    }
    for (const device of devices) await waitInStep(device);
    // What the last one sent may still be on its way to the others.
    const startMs = performance.now();
    let libraries: string[] = [];
    do {
      libraries = await Promise.all(devices.map(({ app }) => libraryIn(app.page)));
      await new Promise((resolve) => setTimeout(resolve, 100));
    } while (new Set(libraries).size > 1 && performance.now() - startMs < 30_000);
    const missing = names.filter((name) => !libraries.every((one) => one.includes(`"${name}"`)));
    figure(
      `${deviceCount} browsers, server killed ${killsOfServer} times, browsers ${survived - killsOfServer}: ` +
        `${new Set(libraries).size === 1 ? 'the same library everywhere' : 'libraries DIFFER'}, ${names.length - missing.length} of ${names.length} engines`,
      new Set(libraries).size === 1 && missing.length === 0,
    );
  } finally {
    for (const device of devices) {
      await device.browser.kill();
      removeDevice(device);
    }
    await server.kill();
  }
}

/** Sets the camera up on the clips of `dial-clip.ts`, as a thumb does. */
import { en } from '../../src/copy/en.ts';
import type { App } from './app.ts';
import { CLIP_HEIGHT, CLIP_SCENE, CLIP_WIDTH, placeOnClip } from './dial-clip.ts';

/** From the choice of sources to the set-up's first screen. */
export async function chooseCamera(app: App): Promise<void> {
  await app.page.getByRole('radio', { name: en.crank.sourceCamera }).check();
  await app.button(en.crank.setUpCamera).click();
  await app.page.getByRole('heading', { name: en.camera.title }).waitFor();
}

/** Types what is printed on the dial. */
export async function typeDial(app: App): Promise<void> {
  const { unit, fullScale, division } = CLIP_SCENE.face;
  await app.page.getByRole('radio', { name: unit, exact: true }).check();
  await app.page.getByLabel(en.camera.fullScale).fill(String(fullScale));
  await app.page.getByLabel(en.camera.division).fill(String(division));
  await app.page.getByLabel(en.camera.classPercent).fill('2.5');
}

/** Starts the camera and takes the picture, while the needle rests at the start of the clip. */
export async function takePicture(app: App): Promise<void> {
  await app.button(en.camera.start).click();
  await app.button(en.camera.freeze).click();
  await app.page.getByRole('application').waitFor();
}

/** Taps the hub (`null`) and ticks, one after another, and fits the scale. `offPx`: error of each tap, picture pixels. */
export async function tapMarks(app: App, values: readonly (number | null)[], offPx = 0): Promise<void> {
  const picture = app.page.getByRole('application');
  for (const [i, value] of values.entries()) {
    const box = (await picture.boundingBox())!;
    const { x, y } = placeOnClip(value);
    await picture.click({
      position: { x: ((x + offPx) / CLIP_WIDTH) * box.width, y: (y / CLIP_HEIGHT) * box.height },
    });
    await app.button(i < values.length - 1 ? en.camera.next : en.camera.fit).click();
  }
}

/** Says that the scale fits, which connects the camera. */
export async function acceptFit(app: App): Promise<void> {
  await app.button(en.camera.fits).click();
  await app.sensorLine.waitFor();
}

/**
 * A camera on a dial gauge in a real browser: a fake camera plays rendered clips. Set up by taps, four cylinders hands
 * free, wet retest, verdict; then what can go wrong with a camera, on the way without `MediaStreamTrackProcessor`.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, inject, it, vi } from 'vitest';
import { en } from '../../src/copy/en.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { fromKpa } from '../../worker/core/units.ts';
import { App, said } from '../support/app.ts';
import { launchBrowser, type TestBrowser } from '../support/browser.ts';
import { acceptFit, chooseCamera, takePicture, tapMarks, typeDial } from '../support/camera-set-up.ts';
import { CLIP_SCENE, crankFrames, repeated, restFrame, writeClip } from '../support/dial-clip.ts';

// They take the real time of the cranking.
vi.setConfig({ maxConcurrency: 2 });

/** Levels after each stroke, psi: a sound cylinder, and one with worn rings. */
const SOUND = [98, 134, 150, 156, 159, 160];
const WORN = [52, 74, 86, 93, 97, 99];
/** Finals may be off by this, psi: 1 % of full scale. */
const TOLERANCE = 0.01 * CLIP_SCENE.face.fullScale;
/** The needle rests while the hose is moved, and at the start, while the picture is taken. */
const MOVE_S = 6.4;
const FIRST_REST_S = 2.5;

let folder: string;
let clip: string;
/** One for each test: pages of one browser would share the camera. */
const browsers: TestBrowser[] = [];
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'strokebook-clip-'));
  const rest = restFrame();
  const [sound, worn] = [SOUND, WORN].map((levels) => [...crankFrames(levels), ...repeated(rest, MOVE_S)]);
  // Played in a loop: the four that are measured have one worn cylinder, and a sound one follows, whenever they begin.
  const cylinders = [sound, sound, worn, sound, sound, sound].flatMap((frames) => frames!);
  clip = join(folder, 'dial.y4m');
  writeClip(clip, [...repeated(rest, FIRST_REST_S), ...cylinders]);
});
afterAll(async () => {
  await Promise.all(browsers.map((browser) => browser.close()));
  rmSync(folder, { recursive: true, force: true });
});

async function openApp(): Promise<{ app: App; browser: TestBrowser }> {
  const browser = await launchBrowser({ cameraClip: clip });
  browsers.push(browser);
  return { app: new App(await browser.open(), inject('appUrl')), browser };
}

/** Dry readings on the plan, psi, in the order of the cylinders. */
async function finals(app: App, cylinders: number): Promise<number[]> {
  const names = Array.from({ length: cylinders }, (_, i) => app.circle(i + 1).getAttribute('aria-label'));
  return (await Promise.all(names)).map((name) => Number(/: (\d+)/.exec(name ?? '')?.[1]));
}

it.concurrent('measures four cylinders and a wet retest hands free', async () => {
  const { app, browser } = await openApp();
  await app.beginTest({ name: 'Blue van', cylinders: 4 });
  await chooseCamera(app);
  await typeDial(app);
  await takePicture(app);
  await tapMarks(app, [null, 0, 100, 200, 300], 2);
  await acceptFit(app);
  await app.arm();
  await app.phase(en.phase.done).waitFor({ timeout: 80_000 });

  const read = await finals(app, 4);
  const worn = read.findIndex((psi) => psi < 130);
  for (const [i, psi] of read.entries()) {
    expect(Math.abs(psi - (i === worn ? WORN : SOUND).at(-1)!)).toBeLessThanOrEqual(TOLERANCE);
  }
  await app.button(en.crank.judge).click();
  await app.button(new RegExp(`Test cylinder ${worn + 1} wet`)).click();
  await app.arm();
  await app.phase(en.phase.done).waitFor({ timeout: 30_000 });
  await app.button(en.crank.judge).click();
  await app.page.getByText(said(en.evidence['wet-rise']!)).first().waitFor();
  await expect(app.page.getByRole('heading', { level: 1 }).textContent()).resolves.toMatch(/[Ww]orn rings/);

  // No stroke has another level than one of the needle's. A busy machine drops frames, and then one may be missing.
  const traces = await app.downloadTraces();
  expect(traces).toHaveLength(5);
  const levels = [...SOUND, ...WORN];
  for (const { trace } of traces) {
    const { strokes } = readTrace(trace, { cycle: 4, hose: 'check-valve', isDial: true });
    const known = strokes.flatMap(({ peakKpa }) => (peakKpa === null ? [] : [fromKpa(peakKpa, 'psi')]));
    const offs = known.map((psi) => Math.min(...levels.map((level) => Math.abs(psi - level))));
    expect(Math.max(...offs)).toBeLessThanOrEqual(TOLERANCE);
    expect(known.length).toBeGreaterThanOrEqual(SOUND.length - 1);
    expect(strokes.length).toBeLessThanOrEqual(SOUND.length);
  }
  await app.link(en.report.toReport).click();
  await app.page
    .getByText('Camera on a dial, 0 to 300 psi, divisions of 5 psi, class 2.5', { exact: true })
    .waitFor();
  expect(browser.requestsBeyond(inject('appUrl'))).toEqual([]);
}, 200_000);

it.concurrent('survives a camera that is refused, covered, taken away or behind another page', async () => {
  const { app } = await openApp();
  const { page } = app;
  await page.addInitScript(withoutProcessor);
  await app.beginTest({ name: 'Red van', cylinders: 3 });
  await chooseCamera(app);
  await typeDial(app);
  await page.evaluate(() => window.refuseCamera('NotAllowedError', 1));
  await app.button(en.camera.start).click();
  await page.getByText(en.source['camera-refused']).waitFor();
  await takePicture(app);
  // A mark on the wrong tick is refused with what to do.
  await tapMarks(app, [null, 0, 100, 200, 290]);
  await page
    .getByText(en.camera.problem['mark-off'])
    .or(page.getByText(en.camera.problem['ticks-missing']))
    .waitFor();
  await app.button(en.camera.tapAgain).click();
  await tapMarks(app, [null, 0, 100, 200, 300]);
  await acceptFit(app);
  // The dial is known now: the hub and two marks are enough.
  await app.button(en.crank.change).click();
  await chooseCamera(app);
  await takePicture(app);
  await tapMarks(app, [null, 0, 300]);
  await acceptFit(app);
  await app.arm();

  await app.phase(en.phase.cranking).waitFor({ timeout: 30_000 });
  await page.evaluate(() => window.coverCamera(true));
  await app.sensorLine.getByText(/has not seen|has not been/).waitFor({ timeout: 10_000 });
  await page.getByRole('alert').getByText(en.announcement['needle-unseen']).waitFor();
  await page.evaluate(() => window.coverCamera(false));
  await app.sensorLine.getByText(/readings a second/).waitFor();
  await app.button(en.crank.stop).click();

  await app.phase(en.phase.cranking).waitFor({ timeout: 30_000 });
  await page.evaluate(() => {
    window.refuseCamera('NotReadableError', 1);
    window.endCamera();
  });
  await app.sensorLine.getByText(said(en.camera.reconnecting)).waitFor();
  await app.sensorLine.getByText(/readings a second/).waitFor({ timeout: 10_000 });
  await app.button(en.crank.stop).click();

  await app.phase(en.phase.cranking).waitFor({ timeout: 30_000 });
  await page.evaluate(() => window.hidePage(true));
  await page.waitForTimeout(2000);
  await page.evaluate(() => window.hidePage(false));
  await app.button(en.crank.stop).click();
  await app.step('keep');
  const [covered, away, hidden] = await app.downloadTraces();
  expect(covered!.trace.gaps.map(({ reason }) => reason)).toContainEqual(
    expect.stringMatching(/needle-hidden|dial-lost/),
  );
  expect(away!.trace.gaps.map(({ reason }) => reason)).toContain('link-lost');
  expect(hidden!.trace.timeS.length).toBeGreaterThan(50);
}, 200_000);

declare global {
  interface Window {
    /** The next `times` requests for the camera fail with this error. */
    refuseCamera(name: string, times: number): void;
    coverCamera(isCovered: boolean): void;
    /** Ends the camera's track as another app that takes the camera. */
    endCamera(): void;
    hidePage(isHidden: boolean): void;
  }
}

/** Runs in the page: a browser without stream processors, whose camera obeys the test. */
function withoutProcessor(): void {
  Reflect.deleteProperty(globalThis, 'MediaStreamTrackProcessor');
  let track: MediaStreamTrack | undefined;
  let refusal = { name: '', times: 0 };
  let isCovered = false;
  const { mediaDevices } = navigator;
  if (!mediaDevices) return;
  const open = mediaDevices.getUserMedia.bind(mediaDevices);
  mediaDevices.getUserMedia = async (constraints) => {
    if (refusal.times-- > 0) throw new DOMException('As the test says.', refusal.name);
    const stream = await open(constraints);
    track = stream.getVideoTracks()[0];
    return stream;
  };
  const Frame = VideoFrame;
  const black = Object.assign(document.createElement('canvas'), { width: 288, height: 272 });
  black.getContext('2d')?.fillRect(0, 0, 288, 272);
  window.VideoFrame = class extends Frame {
    constructor(image: HTMLVideoElement, init: VideoFrameInit) {
      super(isCovered ? black : image, init);
    }
  } as typeof VideoFrame;
  window.refuseCamera = (name, times) => {
    refusal = { name, times };
  };
  window.coverCamera = (covered) => {
    isCovered = covered;
  };
  window.endCamera = () => {
    track?.stop();
    track?.dispatchEvent(new Event('ended'));
  };
  window.hidePage = (isHidden) => {
    Object.defineProperty(document, 'visibilityState', {
      configurable: true,
      get: () => (isHidden ? 'hidden' : 'visible'),
    });
    document.dispatchEvent(new Event('visibilitychange'));
  };
}

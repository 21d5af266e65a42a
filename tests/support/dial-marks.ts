/** Taps of a person on a rendered dial. */
import { angleOf, type DialFace, TICK_RADIUS } from '../../simulator/dial/face.ts';
import { homographyAt, project } from '../../simulator/dial/pose.ts';
import type { DialScene } from '../../simulator/dial/scene.ts';
import type { Random } from '../../simulator/random.ts';
import type { DialMarks } from '../../worker/dial/set-up.ts';

/** True place of a value's tick on the picture: its outer end, or a share of that radius. */
export function tickPlace({ face, pose }: DialScene, value: number, share = 1): { x: number; y: number } {
  const angle = (angleOf(face, value) * Math.PI) / 180;
  const radius = TICK_RADIUS * share;
  const [x, y] = project(homographyAt(pose, 0), radius * Math.cos(angle), radius * Math.sin(angle));
  return { x, y };
}

/** Values of the four marks that are tapped: zero, top and two between. */
function markValues({ fullScale, division }: DialFace): number[] {
  const count = Math.round(fullScale / division);
  return [0, Math.round(count / 3), Math.round((2 * count) / 3), count].map((k) => k * division);
}

/** Taps with a normal error of `tapSdPx` pixels in each direction. The hub is seen at the height of the needle. */
export function tapDial(scene: DialScene, random: Random, tapSdPx: number): DialMarks {
  const tapped = (x: number, y: number) => ({
    x: x + tapSdPx * random.normal(),
    y: y + tapSdPx * random.normal(),
  });
  const [hubX, hubY] = project(homographyAt(scene.pose, scene.needleHeight), 0, 0);
  const { fullScale, division } = scene.face;
  const hub = tapped(hubX, hubY);
  const marks = markValues(scene.face).map((v) => {
    const { x, y } = tickPlace(scene, v);
    return { v, ...tapped(x, y) };
  });
  return { hub, marks, fullScale, division };
}

import type { Random } from '../random.ts';
import type { DialScene } from './scene.ts';

/**
 * Kinds of dials and pictures:
 * - `usual`: black on white, a red follower on some, 640 x 480 pixels.
 * - `dark-face`: light print and needle on a dark face.
 * - `red-needle`: a red needle, and a black follower on half of them.
 * - `black-follower`: needle and follower are both black.
 * - `sizes`: radii from 100 to 480 pixels, on pictures from 640 x 480 to 1920 x 1080.
 */
export const DIAL_BUILDS = ['usual', 'dark-face', 'red-needle', 'black-follower', 'sizes'] as const;
export type DialBuild = (typeof DIAL_BUILDS)[number];

const SIZES = [
  { width: 640, height: 480, least: 100, most: 225 },
  { width: 1280, height: 720, least: 120, most: 300 },
  { width: 1920, height: 1080, least: 130, most: 480 },
];

/** The scene changed to a kind of dial. All but `usual` also have a logo, a second scale and coloured zones at random. */
export function asBuilt(scene: DialScene, build: DialBuild, random: Random): DialScene {
  if (build === 'usual') return scene;
  const { face } = scene;
  const isDark = build === 'dark-face';
  const [green, red] = isDark ? [random.between(70, 110), 70] : [random.between(120, 160), 95];
  const end = random.between(0.5, 0.75) * face.fullScale;
  const printed = {
    ...face,
    ...(isDark ? { paper: random.between(18, 50), ink: random.between(180, 230) } : {}),
    logo: random.chance(0.6),
    ...(random.chance(0.5) ? { secondDivisions: random.pick([20, 21, 25, 40]) } : {}),
    ...(random.chance(0.4)
      ? {
          zones: [
            { from: face.fullScale * 0.3, to: end, luma: green, cr: 100 },
            { from: end, to: face.fullScale, luma: red, cr: 185 },
          ],
        }
      : {}),
  };
  const changed: DialScene = { ...scene, face: printed };
  switch (build) {
    case 'dark-face':
      return { ...changed, needleLuma: random.between(170, 235) };
    case 'red-needle':
      return {
        ...changed,
        needleLuma: random.between(65, 95),
        needleCr: random.between(185, 215),
        follower: random.chance(0.5),
        followerColour: { luma: 25, cr: 128 },
      };
    case 'black-follower':
      return { ...changed, follower: true, followerColour: { luma: random.between(15, 40), cr: 128 } };
    case 'sizes':
      return resized(changed, random);
  }
}

function resized(scene: DialScene, random: Random): DialScene {
  const { width, height, least, most } = random.pick(SIZES);
  const radiusPx = random.between(least, most);
  const larger = radiusPx / scene.pose.radiusPx;
  const { bump } = scene;
  return {
    ...scene,
    size: { width, height },
    pose: {
      ...scene.pose,
      radiusPx,
      centreXPx: width / 2 + random.between(-0.03, 0.03) * width,
      centreYPx: height / 2 + random.between(-0.02, 0.02) * height,
    },
    blurPx: Math.max(0.2, scene.blurPx * larger),
    shakePx: Math.min(12, scene.shakePx * larger),
    vibrationPx: scene.vibrationPx * larger,
    bump: bump && { ...bump, px: Math.min(40, bump.px * larger) },
  };
}

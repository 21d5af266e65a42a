import type { DialFace } from './face.ts';
import type { Pointer } from './needle-motion.ts';
import type { Pose } from './pose.ts';

/** A bright or dark spot over the dial, in dial radii, that may move and come and go. */
export interface Spot {
  readonly kind: 'glare' | 'reflection' | 'hand';
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  /** Dial radii a second. */
  readonly speedX: number;
  readonly speedY: number;
  readonly fromS: number;
  readonly toS: number;
  /** Grey levels added by a glare or a reflection; ignored for a hand. */
  readonly strength: number;
}

/** What a camera sees of a gauge, and how. */
export interface DialScene {
  readonly face: DialFace;
  readonly pose: Pose;
  readonly pointer: Pointer;
  /** Height of the needle above the face, dial radii. */
  readonly needleHeight: number;
  readonly needleLength: number;
  /** Half of the needle's width at the hub, dial radii; a third of it at the tip. */
  readonly needleHalfWidth: number;
  readonly needleLuma: number;
  /** Red chroma of the needle; grey (128) unless given. */
  readonly needleCr?: number;
  /** A pointer that stays at the highest position. */
  readonly follower: boolean;
  /** Luma and red chroma of the follower; red unless given. */
  readonly followerColour?: { readonly luma: number; readonly cr: number };
  /** Size of the pictures, pixels, even; 640 x 480 unless given. */
  readonly size?: { readonly width: number; readonly height: number };
  /** Shadow of the needle: offset in dial radii and share of the light taken. */
  readonly shadow: { readonly x: number; readonly y: number; readonly share: number };
  readonly frameHz: number;
  readonly exposureS: number;
  /** Standard deviation of the blur, pixels. */
  readonly blurPx: number;
  /** Standard deviation of the noise, grey levels. */
  readonly noise: number;
  /** Brightness against full light, and its change over the picture. */
  readonly light: number;
  readonly lightSlope: number;
  /** Slow drift and fast vibration of the camera, pixels (amplitudes), and a bump. */
  readonly shakePx: number;
  readonly vibrationPx: number;
  readonly bump: { readonly atS: number; readonly px: number } | null;
  /** Share of frames that the camera drops. */
  readonly droppedShare: number;
  readonly spots: readonly Spot[];
  readonly seed: number;
}

/** Position of the camera over a dial: pinhole camera, dial radius 1, lengths in dial radii, pixels on the picture. */
export interface Pose {
  /** Picture of the dial's centre, pixels. */
  readonly centreXPx: number;
  readonly centreYPx: number;
  /** Radius of the dial on the picture without tilt, pixels. */
  readonly radiusPx: number;
  /** Distance of the camera from the centre, dial radii. */
  readonly distance: number;
  /** Angle of the view to the dial's normal, degrees, and its direction on the dial. */
  readonly tiltDeg: number;
  readonly tiltTowardsDeg: number;
  /** Rotation of the picture, degrees, clockwise. */
  readonly rollDeg: number;
}

/** Row-major 3x3 matrix between planes, in homogeneous coordinates. */
export type Homography = readonly number[];

/** Dial plane at `height` radii above the face, to pixels. x to the right, y down, as on the picture. */
export function homographyAt(pose: Pose, height: number): Homography {
  const { tiltDeg, tiltTowardsDeg, rollDeg, distance, radiusPx, centreXPx, centreYPx } = pose;
  const [tilt, towards, roll] = [tiltDeg, tiltTowardsDeg, rollDeg].map((deg) => (deg * Math.PI) / 180) as [
    number,
    number,
    number,
  ];
  const rotate = (angle: number, [x, y, z]: Vector): Vector => [
    x * Math.cos(angle) - y * Math.sin(angle),
    x * Math.sin(angle) + y * Math.cos(angle),
    z,
  ];
  const lean = ([x, y, z]: Vector): Vector => [
    x * Math.cos(tilt) + z * Math.sin(tilt),
    y,
    -x * Math.sin(tilt) + z * Math.cos(tilt),
  ];
  const turn = (v: Vector): Vector => rotate(roll, rotate(towards, lean(rotate(-towards, v))));
  const [right, down, up] = [turn([1, 0, 0]), turn([0, 1, 0]), turn([0, 0, 1])];
  const focalPx = radiusPx * distance;
  // Depth falls with height towards the camera.
  const column = ([x, y, z]: Vector, depth: number): Vector => [
    focalPx * x + centreXPx * (depth - z),
    focalPx * y + centreYPx * (depth - z),
    depth - z,
  ];
  const a = column(right, 0);
  const b = column(down, 0);
  const c = column([up[0] * height, up[1] * height, up[2] * height], distance);
  return [a[0], b[0], c[0], a[1], b[1], c[1], a[2], b[2], c[2]];
}

type Vector = [number, number, number];

/** The point's picture under a homography. */
export function project(h: Homography, x: number, y: number): [number, number] {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return [(h[0]! * x + h[1]! * y + h[2]!) / w, (h[3]! * x + h[4]! * y + h[5]!) / w];
}

/** Inverse of a homography, up to scale. */
export function invert(h: Homography): Homography {
  const [a, b, c, d, e, f, g, i, j] = h as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return [
    e * j - f * i,
    c * i - b * j,
    b * f - c * e,
    f * g - d * j,
    a * j - c * g,
    c * d - a * f,
    d * i - e * g,
    b * g - a * i,
    a * e - b * d,
  ];
}

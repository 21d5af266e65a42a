/** Print on the face of a dial gauge. Angles in degrees, clockwise on the picture from the 3 o'clock direction. */
export interface DialFace {
  readonly unit: 'psi' | 'bar' | 'kPa' | 'kgf/cm2';
  readonly fullScale: number;
  /** Value between two printed ticks. */
  readonly division: number;
  /** Every so many divisions the tick is longer and numbered. */
  readonly divisionsPerMajor: number;
  readonly startDeg: number;
  readonly sweepDeg: number;
  readonly numbers: boolean;
  /** Grey levels of paper and ink, 0 to 255. */
  readonly paper: number;
  readonly ink: number;
  /** Coloured second scale at a smaller radius. */
  readonly innerScale: boolean;
  /** Coloured bands on the paper, from and to a value. */
  readonly zones?: readonly {
    readonly from: number;
    readonly to: number;
    readonly luma: number;
    readonly cr: number;
  }[];
  /** Divisions of a second scale, in another unit, inside the numbers; none unless given. */
  readonly secondDivisions?: number;
  /** Printed sign above or below the hub. */
  readonly logo?: boolean;
}

/** Outer end of the ticks; the edge of the dial is at radius 1. */
export const TICK_RADIUS = 0.86;
const MINOR_LENGTH = 0.05;
const MAJOR_LENGTH = 0.1;
/** Radius of the numbers. */
const NUMBER_RADIUS = 0.68;
const NUMBER_SIZE = 0.08;

/** Angle of a value on the scale, degrees. */
export function angleOf(face: DialFace, value: number): number {
  return face.startDeg + (face.sweepDeg * value) / face.fullScale;
}

/** Digits as 3x5 dots, a row each three bits. */
const DIGITS = [31599, 11415, 29671, 29647, 23497, 31183, 31215, 29257, 31727, 31695];

/** Luma and red chroma at a point of the face plane (dial radius 1). Chroma is 128 for grey. */
export function createPaint(face: DialFace): (x: number, y: number) => { luma: number; cr: number } {
  const major = face.divisionsPerMajor;
  const last = Math.round(face.fullScale / face.division);
  const stepDeg = face.sweepDeg / last;
  const numbers = numberPlaces(face);
  return (x, y) => {
    const r = Math.hypot(x, y);
    if (r > 1.08) return { luma: 70, cr: 128 };
    if (r > 1) return { luma: 105, cr: 128 };
    const deg = (Math.atan2(y, x) * 180) / Math.PI;
    const from = (((deg - face.startDeg) % 360) + 360) % 360;
    const places = from > 360 - stepDeg / 2 ? (from - 360) / stepDeg : from / stepDeg;
    const k = Math.round(places);
    const off = Math.abs(places - k) * stepDeg * (Math.PI / 180) * r;
    if (k >= 0 && k <= last && r < TICK_RADIUS) {
      const isMajor = k % major === 0;
      if (r > TICK_RADIUS - (isMajor ? MAJOR_LENGTH : MINOR_LENGTH) && off < (isMajor ? 0.009 : 0.0055)) {
        return { luma: face.ink, cr: 128 };
      }
    }
    if (face.innerScale && k >= 0 && k <= last && k % 4 === 0 && r > 0.47 && r < 0.5 && off < 0.006) {
      return { luma: 100, cr: 180 };
    }
    if (face.numbers && r > NUMBER_RADIUS - 0.16 && r < NUMBER_RADIUS + 0.16) {
      for (const place of numbers) if (isInk(place, x, y)) return { luma: face.ink, cr: 128 };
    }
    if (face.secondDivisions && isSecondTick(face, from, r)) return { luma: face.ink, cr: 128 };
    if (face.logo && Math.abs(x) < 0.22 && Math.abs(y + 0.33) < 0.05 && Math.sin(x * 60) > -0.2)
      return { luma: face.ink, cr: 128 };
    if (face.zones && r > 0.6 && r < TICK_RADIUS - 0.1) {
      const value = (from / face.sweepDeg) * face.fullScale;
      const zone = face.zones.find((one) => value >= one.from && value <= one.to);
      if (zone) return zone;
    }
    return { luma: face.paper, cr: 128 };
  };
}

function isSecondTick(face: DialFace, fromDeg: number, r: number): boolean {
  const stepDeg = face.sweepDeg / face.secondDivisions!;
  const k = Math.round(fromDeg / stepDeg);
  const off = Math.abs(fromDeg - k * stepDeg) * (Math.PI / 180) * r;
  return k <= face.secondDivisions! && r < 0.52 && r > (k % 5 === 0 ? 0.44 : 0.48) && off < 0.0055;
}

interface NumberPlace {
  readonly x: number;
  readonly y: number;
  readonly digits: readonly number[];
}

function numberPlaces(face: DialFace): NumberPlace[] {
  const step = face.division * face.divisionsPerMajor;
  return Array.from({ length: Math.floor(face.fullScale / step + 1e-9) + 1 }, (_, i) => {
    const angle = (angleOf(face, i * step) * Math.PI) / 180;
    const digits = [...String(Math.round(i * step))].map(Number);
    return { x: NUMBER_RADIUS * Math.cos(angle), y: NUMBER_RADIUS * Math.sin(angle), digits };
  });
}

function isInk({ x: centreX, y: centreY, digits }: NumberPlace, x: number, y: number): boolean {
  const dot = NUMBER_SIZE / 5;
  const row = Math.floor((y - centreY) / dot + 2.5);
  if (row < 0 || row > 4) return false;
  const column = Math.floor((x - centreX) / dot + (digits.length * 4 - 1) / 2);
  if (column < 0 || column >= digits.length * 4 || column % 4 === 3) return false;
  const bits = DIGITS[digits[column >> 2]!]!;
  return ((bits >> (14 - (row * 3 + (column % 4)))) & 1) === 1;
}

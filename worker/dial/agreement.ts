/** Memory of the last frames, which decides whether a needle that was found is believed. */
export interface Agreement {
  readonly isTrusted: boolean;
  /** Frames that must still agree. */
  readonly wanted: number;
  /** Refused frames in a row. */
  readonly refused: number;
  /** Last share of full scale found, believed or not. */
  readonly last: number | null;
  /** Highest believed share since the last fall, and when it was last exceeded, s. */
  readonly level: number;
  readonly roseS: number;
}

export const NO_AGREEMENT: Agreement = {
  isTrusted: false,
  wanted: 0,
  refused: 0,
  last: null,
  level: 0,
  roseS: -1,
};

/** Frames that must agree after a gap, and after a fall that is no ringing. */
const AFTER_GAP = 3;
const AFTER_FALL = 4;
/** Largest difference of frames that agree, and smallest fall, shares of full scale. */
const AGREES = 0.01;
const FALL = 0.02;
/** Ringing after a rise ends within this time, s. */
const RINGING_S = 0.5;

/** Takes in a frame. `share`: of full scale, `null` when the frame was refused. */
export function agreeingFrom(
  before: Agreement,
  timeS: number,
  share: number | null,
  state: string,
): Agreement {
  if (share === null) {
    const refused = before.refused + 1;
    const isGap = state !== 'moving' && refused >= 2;
    return { ...before, isTrusted: false, refused, wanted: isGap ? AFTER_GAP : before.wanted };
  }
  const hasFallen = share < before.level - FALL && timeS - before.roseS > RINGING_S;
  let wanted = before.wanted;
  if (hasFallen && wanted === 0) wanted = AFTER_FALL;
  else if (wanted > 0) {
    const agrees = before.last !== null && Math.abs(share - before.last) < AGREES;
    wanted = agrees ? wanted - 1 : Math.max(wanted, AFTER_GAP);
  }
  if (wanted > 0) return { ...before, isTrusted: false, refused: 0, wanted, last: share };
  const rises = share > before.level + 0.005 || hasFallen;
  return {
    isTrusted: true,
    wanted: 0,
    refused: 0,
    last: share,
    level: hasFallen ? share : Math.max(share, before.level),
    roseS: rises ? timeS : before.roseS,
  };
}

/** Light, zoom, focus and exposure of a camera, where it has them. */

/** A setting with a range, in the camera's own unit. */
interface CameraRange {
  readonly min: number;
  readonly max: number;
  readonly step: number;
  readonly value: number;
}

/** What this camera offers; `null` for what it does not have. */
export interface CameraControls {
  readonly torch: boolean | null;
  readonly zoom: CameraRange | null;
  readonly focusDistance: CameraRange | null;
  readonly exposureCompensation: CameraRange | null;
  /** Rejects never: a camera that refuses keeps its setting. */
  setTorch(on: boolean): Promise<void>;
  set(what: RangeName, value: number): Promise<void>;
  /** Stops focus, exposure and white balance from adapting, so that the picture stays as it was set up. */
  lock(): Promise<void>;
}

export type RangeName = 'zoom' | 'focusDistance' | 'exposureCompensation';

type Lockable = 'focusMode' | 'exposureMode' | 'whiteBalanceMode';

/** Of the W3C draft "MediaStream Image Capture"; missing in TypeScript's library. */
type ImageCapabilities = Partial<
  Record<RangeName, { min: number; max: number; step: number }> &
    Record<Lockable, string[]> & { torch: boolean }
>;
type ImageSettings = Partial<Record<RangeName, number> & { torch: boolean }>;

/** The controls of a track, with their present values. */
export function controlsOf(track: MediaStreamTrack): CameraControls {
  // Firefox before 132 has no `getCapabilities`.
  const able = (track.getCapabilities?.() ?? {}) as ImageCapabilities;
  const now = track.getSettings() as ImageSettings;
  const apply = async (setting: Readonly<Record<string, unknown>>): Promise<void> => {
    await track.applyConstraints({ advanced: [setting] } as MediaTrackConstraints).catch(() => undefined);
  };
  const range = (name: RangeName): CameraRange | null => {
    const { min, max, step } = able[name] ?? { min: 0, max: 0, step: 0 };
    return max > min ? { min, max, step: step || (max - min) / 100, value: now[name] ?? min } : null;
  };
  return {
    torch: able.torch ? (now.torch ?? false) : null,
    zoom: range('zoom'),
    focusDistance: range('focusDistance'),
    exposureCompensation: range('exposureCompensation'),
    setTorch: (torch) => apply({ torch }),
    async set(what, value) {
      // A distance is only kept without automatic focus.
      if (what === 'focusDistance') await apply({ focusMode: 'manual' });
      await apply({ [what]: value });
    },
    async lock() {
      for (const mode of ['focusMode', 'exposureMode', 'whiteBalanceMode'] as const)
        if (able[mode]?.includes('manual')) await apply({ [mode]: 'manual' });
    },
  };
}

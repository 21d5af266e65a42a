import { useEffect, useRef, useState } from 'preact/hooks';
import type { DialReading } from '../../../worker/dial/read-dial.ts';
import type { FittedScale } from '../../../worker/dial/scale.ts';
import type { DialFacts } from '../../../worker/file/records.ts';
import { unitSymbol } from '../../../worker/words/pressure.ts';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import type { LiveCamera } from '../../sources/camera/live.ts';
import { LivePicture } from './live-picture.tsx';
import { ScaleOverlay } from './scale-overlay.tsx';

interface CheckStepProps {
  camera: LiveCamera;
  dial: DialFacts;
  scale: FittedScale;
  size: { readonly width: number; readonly height: number };
  onFits: () => void;
  onFitsNot: () => void;
  /** The camera was taken away. */
  onEnded: () => void;
}

/** Below this many frames a second strokes are missed. */
const LEAST_HZ = 24;
const SHOW_MS = 250;

/** The found scale over the live picture with the reading, for a person to compare. */
export function CheckStep({ camera, dial, scale, size, onFits, onFitsNot, onEnded }: CheckStepProps) {
  const { t, say, number } = useReader();
  const { reading, rate } = useReadings(camera, onEnded);
  const words =
    reading?.value == null
      ? reading && reading.state !== 'ok'
        ? t.camera.state[reading.state]
        : ''
      : say(t.camera.reading, {
          value: number(reading.value, dial.fullScale < 50 ? 1 : 0),
          unit: unitSymbol(dial.unit),
        });
  return (
    <>
      <p class="camera-now">{t.camera.checkHint}</p>
      <LivePicture camera={camera} label={t.camera.checkDrawing}>
        <ScaleOverlay scale={scale} width={size.width} height={size.height} />
      </LivePicture>
      <p class="camera-reading">{words}</p>
      {rate !== null && rate < LEAST_HZ && (
        <p class="action-why" role="status">
          {say(t.camera.slow, { rate })}
        </p>
      )}
      <div class="action pair">
        <Button kind="main" onClick={onFits}>
          {t.camera.fits}
        </Button>
        <Button onClick={onFitsNot}>{t.camera.fitsNot}</Button>
      </div>
    </>
  );
}

/** The newest reading, a few times a second, and frames a second by their own times; `null` before they are known. */
function useReadings(
  camera: LiveCamera,
  onEnded: () => void,
): { reading: DialReading | null; rate: number | null } {
  const [shown, setShown] = useState<{ reading: DialReading | null; rate: number | null }>({
    reading: null,
    rate: null,
  });
  const latest = useRef(onEnded);
  latest.current = onEnded;
  useEffect(() => {
    let recent: DialReading[] = [];
    const unlisten = camera.listen({
      reading(reading) {
        recent = [...recent.slice(-60), reading];
      },
      ended: () => latest.current(),
    });
    const timer = setInterval(() => {
      const [first, last] = [recent[0], recent.at(-1)];
      const spanS = first && last ? last.timeS - first.timeS : 0;
      setShown({ reading: last ?? null, rate: spanS > 1 ? (recent.length - 1) / spanS : null });
    }, SHOW_MS);
    return () => {
      clearInterval(timer);
      unlisten();
    };
  }, [camera]);
  return shown;
}

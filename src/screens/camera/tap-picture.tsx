import { useEffect, useRef, useState } from 'preact/hooks';
import type { Point } from '../../../worker/dial/scale.ts';
import { useReader } from '../../components/model.ts';
import type { TapTarget } from './dial-form.ts';

interface TapPictureProps {
  picture: ImageBitmap;
  targets: readonly TapTarget[];
  /** Index of the target to tap. */
  current: number;
  onTap: (at: Point) => void;
}

const LENS_PX = 132;
/** Picture pixels across the magnifier. */
const LENS_REACH = 44;

const KEYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The frozen picture. A finger or the arrow keys place a mark, and a magnifier beside the finger shows where. */
export function TapPicture({ picture, targets, current, onTap }: TapPictureProps) {
  const { t } = useReader();
  const canvas = useRef<HTMLCanvasElement>(null);
  const { width, height } = picture;
  useEffect(() => {
    canvas.current?.getContext('2d')?.drawImage(picture, 0, 0);
  }, [picture]);
  const [isDown, setDown] = useState(false);
  const at = targets[current]?.at ?? null;

  const place = ({ clientX, clientY, currentTarget }: PointerEvent) => {
    if (!(currentTarget instanceof Element)) return;
    const box = currentTarget.getBoundingClientRect();
    onTap({
      x: clamp(((clientX - box.left) / box.width) * width, width),
      y: clamp(((clientY - box.top) / box.height) * height, height),
    });
  };
  const nudge = (event: KeyboardEvent) => {
    const step = KEYS[event.key];
    if (!step) return;
    event.preventDefault();
    const from = at ?? { x: width / 2, y: height / 2 };
    const pixels = event.shiftKey ? 10 : 1;
    onTap({ x: clamp(from.x + step[0] * pixels, width), y: clamp(from.y + step[1] * pixels, height) });
  };
  return (
    <div
      class="camera-picture tap"
      role="application"
      aria-label={t.camera.tapPicture}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys move the mark.
      tabIndex={0}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        setDown(true);
        place(event);
      }}
      onPointerMove={(event) => isDown && place(event)}
      onPointerUp={() => setDown(false)}
      onPointerCancel={() => setDown(false)}
      onKeyDown={nudge}
    >
      <canvas ref={canvas} width={width} height={height} />
      <svg viewBox={`0 0 ${width} ${height}`} class="camera-overlay" aria-hidden="true">
        {targets.map(
          (target, i) =>
            target.at && (
              <g key={target.value} class={i === current ? 'current' : undefined}>
                <path d={crossAt(target.at)} class="halo" />
                <path d={crossAt(target.at)} />
              </g>
            ),
        )}
      </svg>
      {at && <Lens picture={picture} at={at} isLeft={at.x > width / 2} />}
    </div>
  );
}

const clamp = (value: number, size: number): number => Math.min(size - 1, Math.max(0, value));

const crossAt = ({ x, y }: Point): string =>
  `M${x - 14} ${y} h10 M${x + 4} ${y} h10 M${x} ${y - 14} v10 M${x} ${y + 4} v10`;

/** Magnified surroundings of the mark, in the upper corner away from it. */
function Lens({ picture, at, isLeft }: { picture: ImageBitmap; at: Point; isLeft: boolean }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!context) return;
    context.clearRect(0, 0, LENS_PX, LENS_PX);
    const from = LENS_REACH / 2;
    context.drawImage(picture, at.x - from, at.y - from, LENS_REACH, LENS_REACH, 0, 0, LENS_PX, LENS_PX);
  }, [picture, at]);
  return (
    <div class={`camera-lens ${isLeft ? 'left' : 'right'}`} aria-hidden="true">
      <canvas ref={canvas} width={LENS_PX} height={LENS_PX} />
      <svg viewBox="-50 -50 100 100" aria-hidden="true">
        <path d="M-50 0 H-8 M8 0 H50 M0 -50 V-8 M0 8 V50" class="halo" />
        <path d="M-50 0 H-8 M8 0 H50 M0 -50 V-8 M0 8 V50" />
      </svg>
    </div>
  );
}

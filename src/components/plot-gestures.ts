/** Zooming a plot by fingers and keys. A mouse selects a range; that is uPlot's own. */
import { isWhole, limited, moved, pinched, type Range, zoomed } from './zoom-range.ts';

/** What a plot shows of its horizontal axis, and how to change it. */
export interface PlotZoom {
  readonly shown: Range;
  readonly whole: Range;
  /** `null` shows all. */
  readonly onZoom: (range: Range | null) => void;
}

/** Longest time between two taps that reset, milliseconds. */
const DOUBLE_TAP_MS = 350;
/** Movement below which a touch is a tap, CSS pixels. */
const TAP_PX = 10;
const ZOOM_STEP = 0.5;
const MOVE_STEP = 0.2;

/** Changes what is shown; the whole axis becomes `null`. */
export function zoomTo({ whole, onZoom }: PlotZoom, wanted: Range): void {
  const range = limited(wanted, whole);
  onZoom(isWhole(range, whole) ? null : range);
}

/** Handles a key pressed on the plot: + and - zoom, arrows move, 0 shows all. Other keys are left alone. */
export function zoomByKey(event: KeyboardEvent, zoom: PlotZoom): void {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const { shown, whole } = zoom;
  const wanted: Readonly<Record<string, () => Range>> = {
    '+': () => zoomed(shown, ZOOM_STEP, 0.5, whole),
    // The same key without Shift on many keyboards.
    '=': () => zoomed(shown, ZOOM_STEP, 0.5, whole),
    '-': () => zoomed(shown, 1 / ZOOM_STEP, 0.5, whole),
    ArrowLeft: () => moved(shown, -MOVE_STEP, whole),
    ArrowRight: () => moved(shown, MOVE_STEP, whole),
    '0': () => whole,
  };
  const range = wanted[event.key]?.();
  if (!range) return;
  event.preventDefault();
  zoomTo(zoom, range);
}

/**
 * Follows fingers on the plotting area: pinch to zoom, drag to move, double tap to show all. Vertical drags scroll the
 * page. Returns a function that stops it.
 */
export function followFingers(area: HTMLElement, zoom: () => PlotZoom): () => void {
  /** Place of each finger as a fraction of the width, by pointer id. */
  const fingers = new Map<number, number>();
  /** Range and places when the number of fingers last changed. */
  let start = { shown: zoom().shown, places: [] as number[] };
  let tap = { atMs: Number.NEGATIVE_INFINITY, x: 0, y: 0, isTap: false };

  const place = (event: PointerEvent): number => {
    const { left, width } = area.getBoundingClientRect();
    return (event.clientX - left) / width;
  };
  const restart = () => {
    start = { shown: zoom().shown, places: [...fingers.values()] };
  };
  const down = (event: PointerEvent) => {
    if (event.pointerType !== 'touch') return;
    fingers.set(event.pointerId, place(event));
    restart();
    const isNear = Math.hypot(event.clientX - tap.x, event.clientY - tap.y) < 4 * TAP_PX;
    const isSecond = tap.isTap && isNear && event.timeStamp - tap.atMs < DOUBLE_TAP_MS;
    tap = {
      atMs: event.timeStamp,
      x: event.clientX,
      y: event.clientY,
      isTap: fingers.size === 1 && !isSecond,
    };
    if (!isSecond) return;
    // Until it is lifted, this finger must not move what is shown.
    fingers.clear();
    zoom().onZoom(null);
  };
  const move = (event: PointerEvent) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, place(event));
    if (Math.hypot(event.clientX - tap.x, event.clientY - tap.y) > TAP_PX) tap.isTap = false;
    const { whole } = zoom();
    const [a, b] = fingers.values();
    const [wasA, wasB] = start.places;
    if (a === undefined || wasA === undefined) return;
    if (b === undefined || wasB === undefined) zoomTo(zoom(), moved(start.shown, wasA - a, whole));
    else zoomTo(zoom(), pinched(start.shown, [wasA, wasB], [a, b], whole));
  };
  const up = (event: PointerEvent) => {
    if (fingers.delete(event.pointerId)) restart();
  };
  const double = () => zoom().onZoom(null);
  area.addEventListener('pointerdown', down);
  area.addEventListener('pointermove', move);
  area.addEventListener('pointerup', up);
  area.addEventListener('pointercancel', up);
  area.addEventListener('dblclick', double);
  return () => {
    area.removeEventListener('pointerdown', down);
    area.removeEventListener('pointermove', move);
    area.removeEventListener('pointerup', up);
    area.removeEventListener('pointercancel', up);
    area.removeEventListener('dblclick', double);
  };
}

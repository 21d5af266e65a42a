import { useReader } from './model.ts';
import { type TallyStroke, tallyDrawing } from './tally-geometry.ts';

/** Tally of the strokes. The drawing grows to the right; `settledFrom` is underlined. */
export function Tally({
  strokes,
  settledFrom,
}: {
  strokes: readonly TallyStroke[];
  settledFrom: number | null;
}) {
  const { t, say } = useReader();
  const drawing = tallyDrawing(strokes, settledFrom);
  const said =
    strokes.length === 0
      ? t.tally.none
      : say(t.tally.some, {
          n: strokes.length,
          settled: settledFrom,
          lost: strokes.filter((stroke) => stroke.lost).length || null,
          partial: strokes.some((stroke) => stroke.partial) ? 1 : null,
        });
  return (
    <svg
      class="tally"
      role="img"
      aria-label={said}
      viewBox={`0 0 ${drawing.width} ${drawing.height}`}
      style={{ '--tally-width': drawing.width }}
    >
      {drawing.marks.map((mark) => (
        <line
          key={mark.number}
          class={`stroke ${mark.style}`}
          x1={mark.x1}
          y1={mark.y1}
          x2={mark.x2}
          y2={mark.y2}
          pathLength={100}
        />
      ))}
      {drawing.underline && (
        <line
          class="settled"
          x1={drawing.underline.x1}
          x2={drawing.underline.x2}
          y1={drawing.underline.y}
          y2={drawing.underline.y}
        />
      )}
    </svg>
  );
}

import { type DrawnLine, type LadderLine, ladderDrawing, ladderHeight } from './ladder-geometry.ts';
import { cylinderStyle } from './marks.tsx';
import { useReader } from './model.ts';
import { PlotAxes } from './plot-axes.tsx';
import { useWidth } from './use-width.ts';

/**
 * Peak pressure by stroke number, one labelled line per cylinder. Wet readings are dashed; the fitted build-up is
 * faint.
 */
export function Ladder({ lines, label }: { lines: readonly LadderLine[]; label: string }) {
  const { t, unit } = useReader();
  const [ref, width] = useWidth<HTMLElement>(358);
  const height = ladderHeight(lines, width);
  const drawing = ladderDrawing(lines, unit, width, height);
  const strokeNumbers = Array.from({ length: drawing.lastStroke }, (_, i) => i + 1);
  const every = Math.ceil(drawing.lastStroke / ((drawing.right - drawing.left) / 28));
  return (
    <figure ref={ref} class="ladder">
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
        <PlotAxes {...drawing} axis={t.compare.strokeAxis} />
        {strokeNumbers
          .filter((n) => n === 1 || n % every === 0)
          .map((n) => (
            <text key={n} class="tick-label" x={drawing.x(n)} y={drawing.bottom + 20} text-anchor="middle">
              {n}
            </text>
          ))}
        {drawing.lines.map((drawn) => (
          <path
            key={keyOf(drawn)}
            class="law"
            d={drawn.fitPath}
            style={{ stroke: `var(${cylinderStyle(drawn.line.cylinder).colour})` }}
          />
        ))}
        {drawing.lines.map((drawn) => (
          <Line key={keyOf(drawn)} drawn={drawn} labelX={drawing.right + 14} />
        ))}
      </svg>
    </figure>
  );
}

const keyOf = ({ line }: DrawnLine): string =>
  `${line.cylinder}-${line.condition}-${line.isEarlier ? 'then' : 'now'}`;

function Line({ drawn, labelX }: { drawn: DrawnLine; labelX: number }) {
  const { t } = useReader();
  const { line } = drawn;
  const style = cylinderStyle(line.cylinder);
  const colour = `var(${style.colour})`;
  return (
    <g class={`climb ${line.condition}${line.isEarlier ? ' earlier' : ''}`}>
      <path class="thread from-partial" d={drawn.partialPath} style={{ stroke: colour }} />
      <path class="casing" d={drawn.path} />
      <path class="thread" d={drawn.path} style={{ stroke: colour }} />
      {drawn.points.map((point) => (
        <path
          key={point.number}
          transform={`translate(${point.x} ${point.y})`}
          d={style.marker}
          class={`knot${point.partial ? ' partial' : ''}`}
          style={{
            fill: style.hollow || point.partial || line.isEarlier ? 'var(--paper)' : colour,
            stroke: style.hollow || line.isEarlier ? colour : undefined,
          }}
        />
      ))}
      {drawn.labelY !== null && (
        <>
          <path class="leader" d={`M ${drawn.endX + 6} ${drawn.endY} L ${labelX - 4} ${drawn.labelY}`} />
          <text class="line-label" x={labelX} y={drawn.labelY + 5}>
            {line.cylinder}
            {line.condition === 'wet' ? ` ${t.condition.wet.toLowerCase()}` : ''}
          </text>
        </>
      )}
    </g>
  );
}

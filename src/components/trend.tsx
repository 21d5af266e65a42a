import { cylinderStyle } from './marks.tsx';
import { useReader } from './model.ts';
import { PlotAxes } from './plot-axes.tsx';
import { type TrendLimits, type TrendTest, trendDrawing } from './trend-geometry.ts';
import { useWidth } from './use-width.ts';

interface TrendProps {
  tests: readonly TrendTest[];
  limits: TrendLimits;
  /** Formats a position on the axis. */
  place: (at: number) => string;
  /** Label of the axis, with its unit. */
  axis: string;
  label: string;
}

/** Final pressures from test to test, one labelled line per cylinder, with the manufacturer's limits. */
export function Trend({ tests, limits, place, axis, label }: TrendProps) {
  const { t, unit } = useReader();
  const [ref, width] = useWidth<HTMLElement>(358);
  const height = Math.round(Math.min(420, Math.max(280, width * 0.55)));
  const drawing = trendDrawing(tests, limits, unit, width, height);
  const { left, right, bottom } = drawing;
  return (
    <figure ref={ref} class="ladder trend">
      <svg width={width} height={height} role="img" aria-label={label}>
        <PlotAxes {...drawing} axis={axis} />
        {drawing.limits.map((limit) => (
          <g key={limit.kind}>
            <line class="limit" x1={left} x2={right} y1={limit.y} y2={limit.y} />
            <text class="limit-label" x={left + 4} y={limit.y + (limit.kind === 'min' ? 17 : -6)}>
              {t.trend[limit.kind]}
            </text>
          </g>
        ))}
        {drawing.ticks.map((tick, i, all) => (
          <text
            key={tick.at}
            class="tick-label"
            x={tick.x}
            y={bottom + 20}
            text-anchor={
              all.length === 1 ? 'middle' : i === all.length - 1 ? 'end' : i === 0 ? 'start' : 'middle'
            }
          >
            {place(tick.at)}
          </text>
        ))}
        {drawing.lines.map((line) => {
          const style = cylinderStyle(line.cylinder);
          const colour = `var(${style.colour})`;
          const { end } = line;
          return (
            <g key={line.cylinder}>
              <path class="casing" d={line.path} />
              <path class="thread" d={line.path} style={{ stroke: colour }} />
              {line.marked.map((point) => (
                <path
                  key={point.x}
                  transform={`translate(${point.x} ${point.y}) scale(1.15)`}
                  d={style.marker}
                  class="knot"
                  style={{
                    fill: style.hollow ? 'var(--paper)' : colour,
                    stroke: style.hollow ? colour : undefined,
                  }}
                />
              ))}
              <path class="leader" d={`M ${end.x + 8} ${end.y} L ${right + 10} ${line.labelY}`} />
              <text class="line-label" x={right + 14} y={line.labelY + 5}>
                {line.cylinder}
              </text>
            </g>
          );
        })}
      </svg>
    </figure>
  );
}

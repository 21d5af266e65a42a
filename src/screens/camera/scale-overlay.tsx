import { type FittedScale, pointsToDraw, toPicture } from '../../../worker/dial/scale.ts';

/** The fitted scale over a picture of this size. Ticks at every tenth division are longer. */
export function ScaleOverlay({
  scale,
  width,
  height,
}: {
  scale: FittedScale;
  width: number;
  height: number;
}) {
  const hub = toPicture(scale, 0, 0);
  const ticks = pointsToDraw(scale)
    .map(({ x, y, innerX, innerY }, i) => {
      const reach = i % 10 === 0 ? 2.6 : 1;
      return `M${x} ${y} L${x + (innerX - x) * reach} ${y + (innerY - y) * reach}`;
    })
    .join(' ');
  return (
    <svg viewBox={`0 0 ${width} ${height}`} class="camera-overlay" aria-hidden="true">
      <path d={ticks} class="halo" />
      <path d={ticks} />
      <circle cx={hub.x} cy={hub.y} r="4" />
    </svg>
  );
}

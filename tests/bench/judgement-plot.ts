/** Draws the share of true suspects against their stated confidence as an SVG (reliability diagram). */
import type { ReliabilityRow } from './judgement-score.ts';

const SIDE = 360;
const LEFT = 64;
const TOP = 56;
const FOOT = 64;
const RIGHT = 24;
const WIDTH = LEFT + SIDE + RIGHT;
const HEIGHT = TOP + SIDE + FOOT;

const x = (share: number): string => (LEFT + SIDE * share).toFixed(1);
const y = (share: number): string => (TOP + SIDE * (1 - share)).toFixed(1);

/** 95 % interval of a share of `count` (Wilson 1927): the sampling error of a bin. */
function wilson(share: number, count: number): readonly [low: number, high: number] {
  const z2 = 1.96 ** 2;
  const middle = (share + z2 / (2 * count)) / (1 + z2 / count);
  const half = Math.sqrt((z2 * share * (1 - share)) / count + z2 ** 2 / (4 * count ** 2)) / (1 + z2 / count);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}

function axes(): string[] {
  const ticks = [0, 0.2, 0.4, 0.6, 0.8, 1].flatMap((share) => [
    `<path d="M${x(share)} ${y(0)}V${y(1)}M${x(0)} ${y(share)}H${x(1)}" stroke="#ddd"/>`,
    `<text x="${x(share)}" y="${TOP + SIDE + 18}" text-anchor="middle">${100 * share}</text>`,
    `<text x="${LEFT - 8}" y="${Number(y(share)) + 4}" text-anchor="end">${100 * share}</text>`,
  ]);
  return [
    ...ticks,
    `<path d="M${x(0)} ${y(0)}L${x(1)} ${y(1)}" stroke="#888" stroke-dasharray="5 4"/>`,
    `<text x="${x(0.5)}" y="${TOP + SIDE + 42}" text-anchor="middle">confidence stated, %</text>`,
    `<text transform="translate(20 ${y(0.5)}) rotate(-90)" text-anchor="middle">turned out true, %</text>`,
  ];
}

function point({ meanConfidence, shareTrue, count }: ReliabilityRow): string[] {
  const [low, high] = wilson(shareTrue, count);
  return [
    `<path d="M${x(meanConfidence)} ${y(low)}V${y(high)}" stroke="#0a5a8a" stroke-width="2"/>`,
    `<circle cx="${x(meanConfidence)}" cy="${y(shareTrue)}" r="4.5" fill="#0a5a8a"/>`,
    `<text x="${Number(x(meanConfidence)) - 8}" y="${Number(y(high)) - 6}" text-anchor="middle" fill="#555">${count}</text>`,
  ];
}

/** `title` and `note` are plain text without markup. */
export function reliabilitySvg(rows: readonly ReliabilityRow[], title: string, note: string): string {
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" font-family="sans-serif" font-size="12" role="img" aria-label="${title}">`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>`,
    `<text x="20" y="20" font-size="14" font-weight="bold">${title}</text>`,
    `<text x="20" y="38" font-size="11" fill="#555">${note}</text>`,
    ...axes(),
    ...rows.flatMap(point),
    '</svg>',
    '',
  ].join('\n');
}

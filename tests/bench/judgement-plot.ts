/** Draws the share of true suspects against their stated confidence as an SVG (reliability diagram). */
import type { ReliabilityRow } from './judgement-score.ts';
import { wilson } from './wilson.ts';

const SIDE = 360;
const LEFT = 64;
const TOP = 56;
const FOOT = 64;
const RIGHT = 24;
const WIDTH = LEFT + SIDE + RIGHT;
const HEIGHT = TOP + SIDE + FOOT;

const x = (share: number): string => (LEFT + SIDE * share).toFixed(1);
const y = (share: number): string => (TOP + SIDE * (1 - share)).toFixed(1);

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

/** One small diagram of `figureGrid`. */
export interface Panel {
  readonly title: string;
  readonly rows: readonly ReliabilityRow[];
}

const COLUMNS = 5;
const PANEL = { side: 150, gap: 46, top: 78 } as const;

function panelSvg({ title, rows }: Panel, index: number): string {
  const { side, gap, top } = PANEL;
  const left = gap + (index % COLUMNS) * (side + gap);
  const up = top + Math.floor(index / COLUMNS) * (side + gap + 14);
  const at = (share: number) => (side * share).toFixed(1);
  const below = (share: number) => (side * (1 - share)).toFixed(1);
  const ticks = [0, 0.5, 1].flatMap((share) => [
    `<path d="M${at(share)} 0V${side}M0 ${below(share)}H${side}" stroke="#ddd"/>`,
    `<text x="${at(share)}" y="${side + 14}" text-anchor="middle">${100 * share}</text>`,
    `<text x="-5" y="${Number(below(share)) + 4}" text-anchor="end">${100 * share}</text>`,
  ]);
  const points = rows.flatMap(({ meanConfidence, shareTrue, count }) => {
    const [low, high] = wilson(shareTrue, count);
    return [
      `<path d="M${at(meanConfidence)} ${below(low)}V${below(high)}" stroke="#0a5a8a" stroke-width="2"/>`,
      `<circle cx="${at(meanConfidence)}" cy="${below(shareTrue)}" r="3.5" fill="#0a5a8a"/>`,
    ];
  });
  const total = rows.reduce((sum, { count }) => sum + count, 0);
  return [
    `<g transform="translate(${left} ${up})">`,
    `<text y="-8" font-weight="bold">${title} <tspan font-weight="normal" fill="#555">(${total})</tspan></text>`,
    ...ticks,
    `<path d="M0 ${side}L${side} 0" stroke="#888" stroke-dasharray="5 4"/>`,
    ...points,
    '</g>',
  ].join('\n');
}

/** Several small diagrams, five in a row, each with its number of suspects. Texts are plain, without markup. */
export function figureGrid(panels: readonly Panel[], title: string, note: string): string {
  const { side, gap, top } = PANEL;
  const width = gap + COLUMNS * (side + gap);
  const height = top + Math.ceil(panels.length / COLUMNS) * (side + gap + 14);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="sans-serif" font-size="11" role="img" aria-label="${title}">`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    `<text x="20" y="20" font-size="14" font-weight="bold">${title}</text>`,
    `<text x="20" y="38" fill="#555">${note}; across: confidence stated, %; up: turned out true, %; bars: sampling error, 95 %</text>`,
    ...panels.map(panelSvg),
    '</svg>',
    '',
  ].join('\n');
}

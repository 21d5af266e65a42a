import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

/** The tokens of the style sheet: name to its light and dark colour. */
function tokensOf(block: string): Map<string, [string, string]> {
  const found = new Map<string, [string, string]>();
  for (const [, name, value] of block.matchAll(/--([\w-]+):\s*([^;]+);/g)) {
    const pair = /light-dark\((#\w{6}),\s*(#\w{6})\)/.exec(value!);
    if (pair) found.set(name!, [pair[1]!, pair[2]!]);
    else if (/^#\w{6}$/.test(value!.trim())) found.set(name!, [value!.trim(), value!.trim()]);
  }
  return found;
}

const css = readFileSync(new URL('../../src/styles/tokens.css', import.meta.url), 'utf8');
const page = tokensOf(css.slice(css.indexOf(':root {'), css.indexOf(':root[data-theme')));
const capture = new Map([...page, ...tokensOf(css.slice(css.indexOf('.capture {')))]);

/** Relative luminance and contrast by WCAG 2.2, "Contrast (Minimum)". */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const channel = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high! + 0.05) / (low! + 0.05);
}

test('contrast of black on white is 21, as WCAG says', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
});

const TEXT = ['ink', 'ink-2', 'accent', 'sound', 'watch', 'fault', 'unknown'];

describe.each([
  ['paper', 0],
  ['night', 1],
] as const)('on %s', (_, side) => {
  test.each(TEXT)('%s is legible as text, 4.5:1', (name) => {
    for (const ground of ['paper', 'paper-2']) {
      expect(contrast(page.get(name)![side], page.get(ground)![side])).toBeGreaterThanOrEqual(4.5);
    }
  });

  test.each(TEXT)('%s is legible in the capture view, 7:1', (name) => {
    expect(contrast(capture.get(name)![side], capture.get('paper')![side])).toBeGreaterThanOrEqual(7);
  });

  test('words on a button and figures in a filled cylinder', () => {
    expect(contrast(page.get('on-accent')![side], page.get('accent')![side])).toBeGreaterThanOrEqual(4.5);
    expect(contrast(capture.get('ink')![side], capture.get('level')![side])).toBeGreaterThanOrEqual(7);
  });

  test('edges of controls have contrast, 3:1', () => {
    expect(contrast(page.get('rule-strong')![side], page.get('paper')![side])).toBeGreaterThanOrEqual(3);
  });
});

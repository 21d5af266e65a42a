/** Geometry as a witness, beside the makers' published figures. */
import { describe, expect, it } from 'vitest';
import type { EngineFacts } from '../../worker/core/engine.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { defaultRule } from '../../worker/core/judge/rules.ts';
import { expectedCranking } from '../../worker/core/physics/expected.ts';
import { mean } from '../../worker/core/statistics.ts';
import { dry, engineOf, readingOf } from '../support/judge-readings.ts';
import { SERVICE_FIGURES, type ServiceFigure } from './service-figures.ts';

const SEA_LEVEL = { ambientKpa: 101.325 };

/** The engine card with what the source prints. `closing` leaves the intake closing out. */
const geometryOf = ({ ratio, boreMm, strokeMm, closesDegAbdc }: ServiceFigure, closing = true) => ({
  compressionRatio: ratio,
  boreMm,
  strokeMm,
  intakeClosesDegAbdc: closing ? closesDegAbdc : undefined,
});

const judged = (kpa: number, facts: Partial<EngineFacts>) => {
  const engine = engineOf('inline-4', facts);
  const even = [1, 1.008, 0.994, 1.003].map((share, i) =>
    dry(i + 1, readingOf(kpa * share, { hose: 'check-valve', plusMinusKpa: 3 })),
  );
  return judgeEngine(even, engine, defaultRule(engine), SEA_LEVEL);
};

describe.each(SERVICE_FIGURES)('$engine, $ratio : 1, $source', (figure) => {
  it('has its standard inside the range of healthy engines', () => {
    for (const closing of [true, false]) {
      const range = expectedCranking(geometryOf(figure, closing), { ...SEA_LEVEL, rpm: figure.rpm })!;
      expect(mean(figure.standardKpa)).toBeGreaterThan(range.lowKpa);
      expect(mean(figure.standardKpa)).toBeLessThan(range.highKpa);
    }
  });

  it('is not called low at its standard', () => {
    for (const kpa of figure.standardKpa) {
      const { verdict, suspects } = judged(kpa, { geometry: geometryOf(figure) });
      expect(verdict).toBe('sound');
      expect(suspects.every(({ confidence }) => confidence < 0.5)).toBe(true);
    }
  });

  it('is not called sound just below its minimum', () => {
    if (figure.minKpa === undefined) return;
    const { verdict } = judged(0.98 * figure.minKpa, {
      geometry: geometryOf(figure),
      manual: { minKpa: figure.minKpa },
    });
    expect(verdict).not.toBe('sound');
  });

  it('asks whether a maximum that low is the minimum', () => {
    const [usualKpa = 0] = figure.standardKpa;
    const facts = (maxKpa: number) => ({ geometry: geometryOf(figure), manual: { maxKpa } });
    const { expectedKpa } = expectedCranking(geometryOf(figure), SEA_LEVEL)!;
    const asked = judged(usualKpa, facts(0.69 * expectedKpa));
    expect(asked.reasons.map(({ code }) => code)).toEqual(['manual-max-may-be-min']);
    expect(asked.verdict).toBe('sound');
    const ordinary = judged(usualKpa, facts(1.12 * usualKpa));
    expect(ordinary.reasons.map(({ code }) => code)).not.toContain('manual-max-may-be-min');
  });
});

describe('the table', () => {
  // Least squares on the 29 pairs: ln p = 5.62 + 0.68 ln CR, residual standard deviation 0.098.
  it('gives the line that the expected pressure uses', () => {
    const x = SERVICE_FIGURES.map(({ ratio }) => Math.log(ratio));
    const y = SERVICE_FIGURES.map(({ standardKpa }) => Math.log(mean(standardKpa)));
    const mx = mean(x);
    const my = mean(y);
    const slope = mean(x.map((one, i) => (one - mx) * (y[i]! - my))) / mean(x.map((one) => (one - mx) ** 2));
    const residuals = x.map((one, i) => y[i]! - my - slope * (one - mx));
    expect(slope).toBeCloseTo(0.68, 1);
    expect(my - slope * mx).toBeCloseTo(5.62, 1);
    expect(Math.sqrt(mean(residuals.map((r) => r * r)))).toBeCloseTo(0.098, 2);
  });
});

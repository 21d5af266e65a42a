import { describe, expect, it } from 'vitest';
import { createSettings, DEFAULT_SETTINGS, readSettings } from '../../src/app/settings.ts';
import { EMPTY_GARAGE } from '../../src/platform/garage.ts';

function storage(text: string | null = null) {
  const pages = new Map<string, string>();
  if (text !== null) pages.set('strokebook-settings', text);
  return {
    read: (key: string) => pages.get(key) ?? null,
    write: (key: string, value: string) => void pages.set(key, value),
  };
}

describe('settings', () => {
  it('are stored at once and loaded again', () => {
    const paper = storage();
    createSettings(paper).change({ unit: 'bar', speech: true });
    expect(createSettings(paper).values.value).toEqual({ ...DEFAULT_SETTINGS, unit: 'bar', speech: true });
  });

  it('keep the workshop and who measured', () => {
    const paper = storage();
    const garage = { name: 'Own', address: '1 Road\nTown', telephone: '1', logo: '/9j/4AA=' };
    createSettings(paper).change({ garage, measuredBy: 'Zoë' });
    expect(createSettings(paper).values.value).toMatchObject({ garage, measuredBy: 'Zoë' });
  });

  it.each<[string, object]>([
    ['a field missing', { name: 'Own', address: '', telephone: '' }],
    ['a name that is no text', { ...EMPTY_GARAGE, name: 7 }],
    ['a logo larger than any that is made', { ...EMPTY_GARAGE, logo: 'A'.repeat(400_001) }],
  ])('ignore a stored workshop with %s', (_, garage) => {
    expect(createSettings(storage(JSON.stringify({ garage }))).values.value.garage).toEqual(EMPTY_GARAGE);
  });

  it('keep the dial that the camera read last', () => {
    const paper = storage();
    const dial = { unit: 'psi', fullScale: 300, division: 5, sweep: 4.7, follower: 'red' } as const;
    createSettings(paper).change({ dial });
    expect(createSettings(paper).values.value.dial).toEqual(dial);
  });

  it.each([{ unit: 'stone' }, { fullScale: 0 }, { sweep: '4.7' }])(
    'ignore a stored dial with %j',
    (patch) => {
      const dial = { unit: 'psi', fullScale: 300, division: 5, sweep: 4.7, follower: 'none', ...patch };
      expect(createSettings(storage(JSON.stringify({ dial }))).values.value.dial).toBeNull();
    },
  );

  it('start in the language of the browser', () => {
    expect(createSettings(storage(), 'fr-CA').values.value.language).toBe('fr-CA');
  });

  it.each(['C', 'en-US@posix', 'en_GB.UTF-8', ''])('ignore a stored language of %j', (tag) => {
    expect(createSettings(storage(JSON.stringify({ language: tag })), 'de').values.value.language).toBe('de');
  });

  it.each([
    ['nothing', null],
    ['no JSON', '{{'],
    ['another kind of value', '"psi"'],
    ['unknown fields', '{"colour":"red"}'],
    [
      'invalid values',
      '{"unit":"furlong","volume":7,"sound":"yes","theme":null,"rule":{"code":"mine"},"language":""}',
    ],
    ['a negative spread', '{"rule":{"code":"max-spread","maxSpreadKpa":-1}}'],
  ])('are the defaults for %s', (_, text) => {
    expect(readSettings(text, DEFAULT_SETTINGS)).toEqual(DEFAULT_SETTINGS);
  });

  it('drop only an invalid field', () => {
    const kept = readSettings(
      '{"unit":"bar","theme":"beige","rule":{"code":"below-mean"}}',
      DEFAULT_SETTINGS,
    );
    expect(kept).toEqual({ ...DEFAULT_SETTINGS, unit: 'bar', rule: { code: 'below-mean' } });
  });
});

/** Drives the app by what a person can press and read. All words come from the app's own copy. */
import { readFile } from 'node:fs/promises';
import type { Locator, Page } from 'playwright-core';
import type { Meters } from '../../src/capture/port.ts';
import { en } from '../../src/copy/en.ts';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';
import type { RecordedTrace } from '../../worker/file/csv/trace-file.ts';
import { fastForwardTo } from './fast-forward.ts';

/** Turns a sentence with gaps into a pattern that matches any filling of them. */
export function said(sentence: string): RegExp {
  const literal = (text: string) => text.replace(/[.*+?^${}()|\\]/g, '\\$&');
  const pattern = sentence
    .split(/(\{[^}]+\}|[[\]])/)
    .map((part) =>
      part === '[' ? '(?:' : part === ']' ? ')?' : part.startsWith('{') ? '.*?' : literal(part),
    )
    .join('');
  return new RegExp(pattern);
}

/** Label of the large field for a dial gauge's reading. */
export const dialLabel = (cylinder: number, condition: 'dry' | 'wet' = 'dry'): string =>
  en.typed.figure.replace('{n}', String(cylinder)).replace('{condition}', en.conditionLong[condition]);

/** Whether all of it is in the viewport and nothing covers its centre. */
export const isInSight = (target: Locator) =>
  target.evaluate((element) => {
    const { top, bottom, left, right } = element.getBoundingClientRect();
    const hit = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    return top >= 0 && bottom <= innerHeight && hit !== null && (hit === element || element.contains(hit));
  });

/** `1,250 ± 3 kPa` is 1250. */
const firstNumber = (text: string) => Number(/-?[\d.]+/.exec(text.replace(/[,\s]/g, ''))?.[0]);

export interface EngineToTest {
  readonly name: string;
  readonly cylinders: number;
}

/** One page of the app at `url`, which ends in a slash. */
export class App {
  constructor(
    readonly page: Page,
    readonly url: string,
  ) {}

  async goTo(path: string): Promise<void> {
    await this.page.goto(new URL(path, this.url).href);
    await this.heading.waitFor();
  }

  get heading(): Locator {
    return this.page.getByRole('heading', { level: 1 });
  }

  button(name: string | RegExp): Locator {
    return this.page.getByRole('button', { name, exact: true });
  }

  link(name: string): Locator {
    return this.page.getByRole('link', { name, exact: true });
  }

  /** Rows of the start page: each engine and example as a link to its page. */
  get engineRows(): Locator {
    return this.page.getByRole('main').getByRole('listitem').getByRole('link');
  }

  /** Rows of an engine's page: each test as a link, newest first. */
  get testRows(): Locator {
    return this.page.getByRole('region', { name: en.card.tests, exact: true }).getByRole('link');
  }

  /** The large field for the reading of a dial gauge, while it is this cylinder's turn. */
  dialField(cylinder: number, condition: 'dry' | 'wet' = 'dry'): Locator {
    return this.page.getByLabel(dialLabel(cylinder, condition), { exact: true });
  }

  /** The cylinder on the plan. */
  circle(cylinder: number): Locator {
    return this.page.getByRole('button', { name: new RegExp(`^Cylinder ${cylinder}:`) });
  }

  /** Opens a folded part of the page. */
  async unfold(summary: string): Promise<void> {
    await this.page.locator('summary', { hasText: summary }).click();
  }

  /** The large button that counts the next stroke. */
  get strokePad(): Locator {
    return this.page.getByRole('button', { name: en.typed.tapHere });
  }

  private region(name: string): Locator {
    return this.page.getByRole('region', { name, exact: true });
  }

  /** The line at the engine that says what to do now. */
  get instruction(): Locator {
    return this.region(en.crank.instruction);
  }

  /** The same with this sentence. */
  phase(sentence: string): Locator {
    return this.instruction.filter({ hasText: said(sentence) });
  }

  /** Waits until the strokes have settled: while they still come, or on the level pressure of a check-valve hose. */
  get settled(): Locator {
    return this.phase(en.phase.crankingSettled).or(this.phase(en.phase.levelSettled));
  }

  /** Speeds the page's time up until one of these phases shows at the engine. */
  async fastForwardTo(...sentences: readonly string[]): Promise<void> {
    await fastForwardTo(this.page, `[aria-label="${en.crank.instruction}"]`, sentences.map(said));
  }

  /** Speeds the page's time up until the strokes have settled. */
  fastForwardToSettled(): Promise<void> {
    return this.fastForwardTo(en.phase.crankingSettled, en.phase.levelSettled);
  }

  /** The large figure, as text with its unit. */
  get figure(): Locator {
    return this.region(en.crank.pressure);
  }

  get sensorLine(): Locator {
    return this.region(en.app.sensor);
  }

  /** The large figure as a number, in the displayed unit. */
  async figureNow(): Promise<number> {
    return firstNumber((await this.figure.textContent()) ?? '');
  }

  /** Number of strokes in the tally; 0 while it is not shown. */
  async strokesCounted(): Promise<number> {
    const tally = this.page.getByRole('img', { name: said(en.tally.some) });
    return (await tally.count()) === 0 ? 0 : firstNumber((await tally.getAttribute('aria-label')) ?? '');
  }

  /** Starts a new test of a new engine and ticks every caution. Ends at the engine. */
  async beginTest({ name, cylinders }: EngineToTest): Promise<void> {
    await this.goTo('/new');
    await this.page.getByLabel(en.setup.name, { exact: true }).fill(name);
    await this.page.getByLabel(en.setup.count, { exact: true }).fill(String(cylinders));
    await this.button(en.setup.go).click();
    await this.page.getByRole('heading', { name: en.prepare.title }).waitFor();
    for (const box of await this.page.getByRole('checkbox').all()) {
      // Shows as ticked once it is stored.
      await box.click();
      await box.and(this.page.getByRole('checkbox', { checked: true })).waitFor();
    }
    await this.button(en.prepare.go).click();
    await this.page.getByText(en.crank.chooseSource).first().waitFor();
  }

  async connectSensor(): Promise<void> {
    await this.button(en.crank.connectSensor).click();
    await this.sensorLine.waitFor();
  }

  async arm(): Promise<void> {
    await this.button(en.crank.arm).click();
  }

  /** Goes to a step of the open test. */
  async step(name: keyof Omit<typeof en.step, 'strip'>): Promise<void> {
    await this.page
      .getByRole('navigation', { name: en.step.strip })
      .getByRole('link', { name: en.step[name] })
      .click();
    await this.page.waitForURL(`**/${name}`);
  }

  async chooseUnit(unit: string): Promise<void> {
    await this.goTo('/settings');
    const units = this.page.getByRole('group', { name: en.settings.unit, exact: true });
    await units.getByRole('radio', { name: unit, exact: true }).check();
  }

  /** Presses the button with this name and gives it these files. */
  async chooseFiles(
    button: string,
    files: readonly { name: string; mimeType: string; buffer: Buffer }[],
  ): Promise<void> {
    const [chooser] = await Promise.all([this.page.waitForEvent('filechooser'), this.button(button).click()]);
    await chooser.setFiles([...files]);
  }

  /** The table of figures in the results, opened if it is folded. */
  async figuresTable(): Promise<Locator> {
    const fold = this.page.locator('details#figures');
    await fold.waitFor();
    if ((await fold.getAttribute('open')) === null) await fold.locator('summary').click();
    const table = fold.getByRole('table');
    await table.waitFor();
    return table;
  }

  /** Names of the figures in that table, whether they head its columns or its rows. */
  async figureNames(): Promise<string[]> {
    const table = await this.figuresTable();
    const [columns, rows] = await Promise.all(
      (['columnheader', 'rowheader'] as const).map((role) => table.getByRole(role).allTextContents()),
    );
    const named = [columns!, rows!].find((heads) => heads.some((head) => head.startsWith(en.column.final)));
    return (named ?? []).filter((head) => head !== en.column.cylinder);
  }

  /** Final pressures in the table of figures, in the displayed unit, in its order. */
  async finalsInTable(): Promise<number[]> {
    const table = await this.figuresTable();
    const heads = await table.getByRole('columnheader').allTextContents();
    const column = heads.findIndex((head) => head.startsWith(en.column.final));
    const row = table
      .locator('tbody tr')
      .filter({ has: this.page.getByRole('rowheader', { name: new RegExp(`^${en.column.final}`) }) });
    const cells = column < 0 ? row.locator('td') : table.locator(`tbody tr > :nth-child(${column + 1})`);
    return (await cells.allTextContents()).map(firstNumber);
  }

  /** The app's own counters. */
  async meters(): Promise<Meters> {
    return this.page.evaluate(() => (window as unknown as { strokebookMeters: Meters }).strokebookMeters);
  }

  /** All samples of this test's takes as the page exports them, oldest take first. */
  async downloadTraces(): Promise<RecordedTrace[]> {
    await this.step('keep');
    const traces: RecordedTrace[] = [];
    await this.button(en.export.download).first().waitFor();
    for (const button of await this.button(en.export.download).all()) {
      const [download] = await Promise.all([this.page.waitForEvent('download'), button.click()]);
      const outcome = parseTraceCsv(
        await readFile(await download.path(), 'utf8'),
        download.suggestedFilename(),
      );
      if (!outcome.ok) throw new Error(`${download.suggestedFilename()}: ${outcome.problem.detail}`);
      traces.push(...outcome.traces);
    }
    return traces;
  }
}

/** The controls of a page that a keyboard reaches, their order, and whether their focus is visible. */
import type { Page } from 'playwright-core';

/** One control, in document order. */
export interface Control {
  /** The name as written, for failure messages. */
  readonly name: string;
  /** The key that presses it: a link, a button, a part of a plan. `null` for fields and scrollable parts. */
  readonly key: 'Enter' | 'Space' | null;
}

const ATTRIBUTE = 'data-tab-stop';

/** Numbers the controls at which Tab should stop, in document order. */
export function numberControls(page: Page): Promise<Control[]> {
  return page.evaluate((attribute) => {
    for (const old of document.querySelectorAll(`[${attribute}]`)) old.removeAttribute(attribute);
    (document.activeElement as HTMLElement | null)?.blur();
    // Tab stops once in each group: at its chosen control, or at the first when none is chosen.
    const isStopOfGroup = (element: Element): boolean => {
      if (!(element instanceof HTMLInputElement) || element.type !== 'radio') return true;
      const group = [...document.querySelectorAll<HTMLInputElement>('input[type=radio]')].filter(
        ({ name }) => name === element.name,
      );
      return (group.find(({ checked }) => checked) ?? group[0]) === element;
    };
    const controls = [
      ...document.querySelectorAll<HTMLElement | SVGElement>(
        'a[href], button, input, select, textarea, summary, [tabindex]:not([tabindex="-1"])',
      ),
    ].filter(
      (element) =>
        element.checkVisibility({ visibilityProperty: true }) &&
        !element.matches(':disabled, [inert] *') &&
        isStopOfGroup(element),
    );
    return controls.map((element, index) => {
      element.setAttribute(attribute, String(index));
      const name =
        element.getAttribute('aria-label') ??
        element.textContent?.trim() ??
        element.closest('label')?.textContent?.trim() ??
        '';
      const key = element.matches('a, button, summary, [role="button"]')
        ? ('Enter' as const)
        : element.matches('input[type=checkbox]')
          ? ('Space' as const)
          : null;
      return { name: name || element.outerHTML.slice(0, 80), key };
    });
  }, ATTRIBUTE);
}

/** Style of the elements that show the focus of control `index`: itself, its label, the line under its field, its rim on a plan. */
const lookOf = (page: Page, index: number | 'focused') =>
  page.evaluate(
    ([attribute, which]) => {
      const element =
        which === 'focused' ? document.activeElement : document.querySelector(`[${attribute}="${which}"]`);
      if (!element) return '';
      const parts = [
        element,
        element.closest('label'),
        element.closest('.field .line'),
        element.querySelector('.touch'),
      ];
      return parts
        .map((part) => {
          if (!part) return '';
          const { outlineStyle, outlineWidth, boxShadow, stroke, strokeWidth } = getComputedStyle(part);
          const outline = outlineStyle === 'none' ? 'none' : `${outlineStyle} ${outlineWidth}`;
          return [outline, boxShadow, part instanceof SVGElement ? `${stroke} ${strokeWidth}` : ''].join(' ');
        })
        .join(' | ');
    },
    [ATTRIBUTE, index] as const,
  );

/** Some pages load what they offer from the browser or the library, which is slow on a busy machine. */
const STILL_MS = 800;
const POLL_MS = 50;

const namesOf = (controls: readonly Control[]) => controls.map(({ name }) => name).join('\n');

/** The controls of the page once their names no longer change. */
export async function controlsAtRest(page: Page): Promise<Control[]> {
  let before: string | null = null;
  for (;;) {
    const controls = await numberControls(page);
    const isLoading = namesOf(controls).includes('…');
    if (!isLoading && namesOf(controls) === before) return controls;
    before = namesOf(controls);
    await page.waitForTimeout(STILL_MS);
  }
}

/** Current index of the control with this name; `null` when none appears within three seconds. */
export async function controlNamed(page: Page, name: string): Promise<number | null> {
  for (let waitedMs = 0; waitedMs < 3000; waitedMs += POLL_MS) {
    const index = (await numberControls(page)).findIndex((one) => one.name === name);
    if (index >= 0) return index;
    await page.waitForTimeout(POLL_MS);
  }
  return null;
}

/** Findings of one page. */
export interface TabOrder {
  /** Names of the controls, in document order. */
  readonly expected: readonly string[];
  /** Names in the order that Tab reached them. */
  readonly reached: readonly string[];
  /** Names of controls that look the same with and without the focus. */
  readonly unseen: readonly string[];
  /** Roles of focusable elements without an accessible name. */
  readonly nameless: readonly string[];
}

/** Presses Tab from the top of the page until the focus has left it. */
export async function tabThrough(page: Page): Promise<TabOrder> {
  const controls = await controlsAtRest(page);
  const restLooks: string[] = [];
  for (let index = 0; index < controls.length; index++) restLooks.push(await lookOf(page, index));
  // Tab begins with the first control, even when the heading has the focus.
  await page.evaluate(() => {
    document.body.tabIndex = -1;
    document.body.focus();
    document.body.removeAttribute('tabindex');
  });
  const reached: string[] = [];
  const unseen: string[] = [];
  // Tab stops at day, month, year and calendar of a date field, which is one control.
  const parts = 3 * (await page.locator('input[type=date]').count());
  let last: string | null = null;
  for (let tabs = 0; tabs < controls.length + 3 + parts; tabs++) {
    await page.keyboard.press('Tab');
    const isDate = await page.evaluate(() => document.activeElement?.getAttribute('type') === 'date');
    const at: string | null = await page.evaluate((attribute) => {
      const element = document.activeElement;
      if (!element || element === document.body) return null;
      return element.getAttribute(attribute) ?? `not expected: ${element.outerHTML.slice(0, 100)}`;
    }, ATTRIBUTE);
    // After the last control comes the first one again, with or without a stop in the browser's own controls.
    if (at === null || (at === '0' && reached.length > 0)) break;
    if (isDate && at === last) continue;
    last = at;
    const control = controls[Number(at)];
    reached.push(control?.name ?? at);
    if (control && (await lookOf(page, 'focused')) === restLooks[Number(at)]) unseen.push(control.name);
  }
  return { expected: controls.map(({ name }) => name), reached, unseen, nameless: await nameless(page) };
}

/** Focusable elements without an accessible name, as the browser itself computes it. */
async function nameless(page: Page): Promise<string[]> {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  const found = nodes.filter(
    ({ ignored, role, name, properties }) =>
      !ignored &&
      role?.value !== 'RootWebArea' &&
      properties?.some((property) => property.name === 'focusable' && property.value.value === true) &&
      !String(name?.value ?? '').trim(),
  );
  const unnamed = await Promise.all(
    found.map(async ({ role, backendDOMNodeId }) => {
      const { node } = await session.send('DOM.describeNode', { backendNodeId: backendDOMNodeId! });
      return `${role?.value}: ${node.localName} ${node.attributes?.join(' ')}`;
    }),
  );
  await session.detach();
  return unnamed;
}

/**
 * Focuses control `index` and presses its key. `true`: the page handled the press, by a click, by preventing the default, or
 * by leaving the page. `null`: the page has replaced the control since it was numbered; nothing was pressed.
 */
export async function pressByKey(page: Page, index: number, key: 'Enter' | 'Space'): Promise<boolean | null> {
  const isThere = await page.evaluate(
    ([attribute, which]) => {
      const element = document.querySelector<HTMLElement | SVGElement>(`[${attribute}="${which}"]`);
      if (!element) return false;
      const pressed = { isTaken: false };
      Object.assign(window, { pressed });
      const take = () => {
        pressed.isTaken = true;
      };
      addEventListener('click', take, { capture: true, once: true });
      element.addEventListener('keydown', (event) => event.defaultPrevented && take());
      element.focus();
      return true;
    },
    [ATTRIBUTE, index] as const,
  );
  if (!isThere) return null;
  await page.keyboard.press(key);
  // The page was left: the new document has no record of the press.
  return page.evaluate(
    () => (window as unknown as { pressed?: { isTaken: boolean } }).pressed?.isTaken ?? true,
  );
}

import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { Heading } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { Page } from '../../components/shell.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { untickedMusts } from '../../safety/cautions.ts';
import { planCells } from '../compression-test/plan-cells.ts';
import { notMeasuredYet } from '../compression-test/plausibility.ts';
import { CautionsAgain, CautionsFirst } from './dial-cautions.tsx';
import { DialEntry, keepFocus, Replaced } from './dial-entry.tsx';
import { keyOf, type Target } from './dial-order.ts';
import { DialVerdict } from './dial-verdict.tsx';
import { useDial } from './use-dial.ts';
import { useKeypadRoom } from './use-keypad-room.ts';

interface DialPageProps {
  loaded: LoadedTest;
  /** A wet retest asked for by another page; `null` starts with the first cylinder without a reading. */
  first: Target | null;
  /** Leaves for the choice of source. */
  onLeave: () => void;
}

/** Readings of a dial gauge, one figure a cylinder, on one page: cautions, plan, field, verdict. */
export function DialPage({ loaded, first, onLeave }: DialPageProps) {
  const { drafts } = useModel();
  const reader = useReader();
  const { t } = reader;
  const dial = useDial(loaded, first);
  const { at } = dial;
  const { engine, test, takes } = loaded;
  const seenKey = `cautions seen ${test.id}`;
  const [isSeen, setSeen] = useState(
    () =>
      takes.length > 0 ||
      drafts.read(seenKey) !== null ||
      untickedMusts(engine.facts, test.conditions.ticked).length === 0,
  );
  const field = useRef<HTMLInputElement>(null);
  const form = useRef<HTMLFormElement>(null);
  const verdict = useRef<HTMLHeadingElement>(null);
  const room = useKeypadRoom();
  const isTyping = isSeen && at !== null;
  /** Within the handler of a tap: browsers open the keypad for no other focus. */
  const focusField = () => {
    if (form.current) form.current.inert = false;
    field.current?.focus({ preventScroll: true });
  };
  const atKey = at && keyOf(at);
  const isJudged = notMeasuredYet(loaded).length === 0;
  // biome-ignore lint/correctness/useExhaustiveDependencies: moves the focus when another reading is typed, not on each change.
  useLayoutEffect(() => {
    if (!isSeen) return;
    // With the rendering, not after it: a digit typed in between would be selected and replaced by the next one.
    if (atKey === null) verdict.current?.focus({ preventScroll: true });
    else focusField();
    if (dial.isCorrection) field.current?.select();
    room.current?.scrollIntoView({ block: 'start' });
  }, [atKey, isSeen, isJudged, dial.isCorrection]);
  const choose = (target: Target) => {
    focusField();
    dial.choose(target);
  };

  return (
    <Page kind="capture dial">
      <Heading visuallyHidden>{t.crank.title}</Heading>
      {!isSeen && (
        <CautionsFirst
          loaded={loaded}
          onDone={() => {
            focusField();
            drafts.write(seenKey, 'yes');
            setSeen(true);
          }}
        />
      )}
      <div class="dial-room" ref={room}>
        {isSeen && (
          // biome-ignore lint/a11y/noStaticElementInteractions: the cylinders inside are the controls.
          <div class="crank-map" onMouseDown={keepFocus}>
            <Plan
              layout={engine.facts.layout}
              cells={planCells(loaded, reader, { verdicts: at === null })}
              current={at?.cylinder ?? null}
              onChoose={(cylinder) => choose({ cylinder, condition: 'dry' })}
              size="strip"
              label={t.crank.planLabel}
            />
          </div>
        )}
        <form
          ref={form}
          class={isTyping ? 'dial-form' : 'visually-hidden'}
          inert={!isTyping}
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            if (dial.submit()) field.current?.focus({ preventScroll: true });
            else
              requestAnimationFrame(() =>
                form.current?.querySelector<HTMLElement>('[aria-invalid]')?.focus(),
              );
          }}
        >
          <DialEntry loaded={loaded} dial={dial} field={field} />
        </form>
      </div>
      {isSeen && (
        <>
          {at === null && <Replaced dial={dial} />}
          {isJudged && <DialVerdict loaded={loaded} at={at} heading={verdict} onChoose={choose} />}
          {takes.length > 0 && <p class="quiet">{t.typed.tapToChange}</p>}
          <CautionsAgain loaded={loaded} />
        </>
      )}
      <div class="action rest">
        <Button kind="plain" onClick={onLeave}>
          {t.crank.chooseSource}
        </Button>
      </div>
    </Page>
  );
}

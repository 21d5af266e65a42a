import { describe, expect, it } from 'vitest';
import type { CaptureState, PlanItem } from '../../src/capture/capture-state.ts';
import { IDLE, takeIdOf } from '../../src/capture/capture-state.ts';
import { step } from '../../src/capture/machine.ts';
import type { CaptureAction, CaptureEvent } from '../../src/capture/machine-events.ts';
import {
  FRESH_AFTER_S,
  HOLD_S,
  LEVEL_S,
  LONGEST_TAKE_S,
  LOW_S,
  MOVE_S,
} from '../../src/capture/machine-limits.ts';
import { type LiveReading, NOTHING_READ, type Reading, type Stroke } from '../../worker/core/reading.ts';

const dry = (cylinder: number): PlanItem => ({ cylinder, condition: 'dry' });

const stroke = (number: number, timeS: number): Stroke => ({
  number,
  timeS,
  peakKpa: 900 + number,
  peakPlusMinusKpa: 3,
  partial: false,
  lost: false,
});

const live = (
  phase: LiveReading['phase'],
  strokes: readonly Stroke[] = [],
  more: Partial<LiveReading> = {},
): LiveReading => ({
  phase,
  strokes,
  pressureKpa: 0,
  settled: false,
  crankingRpm: null,
  zeroKpa: 0.3,
  ...more,
});

const reading: Reading = { ...NOTHING_READ, finalKpa: 910 };

/** Feeds events to the machine and collects its actions. */
function play(start: CaptureState = IDLE) {
  let state = start;
  let nowS = 0;
  let ids = 0;
  let canArm = true;
  const actions: CaptureAction[] = [];
  const send = (event: CaptureEvent): CaptureAction[] => {
    if (event.type === 'live') nowS = event.atS;
    const next = step(state, event, { nowS, nowKpa: null, newTakeId: `take-${++ids}`, canArm });
    state = next.state;
    actions.push(...next.actions);
    return [...next.actions];
  };
  return {
    send,
    actions,
    get state() {
      return state;
    },
    set canArm(value: boolean) {
      canArm = value;
    },
    said: () => actions.flatMap((action) => (action.do === 'announce' ? [action.what.kind] : [])),
    /** Events from armed to stored, starting at `atS`; returns the time after. */
    crank(atS: number, strokes = 6): number {
      send({ type: 'live', atS: atS + 1, reading: live('rest') });
      const list = Array.from({ length: strokes }, (_, i) => stroke(i + 1, atS + 5 + i * 0.5));
      send({ type: 'live', atS: atS + 5.3, reading: live('cranking', list.slice(0, 1)) });
      send({ type: 'live', atS: atS + 9, reading: live('cranking', list, { settled: strokes > 3 }) });
      send({ type: 'live', atS: atS + 10, reading: live('ended', list) });
      send({ type: 'live', atS: atS + 10 + HOLD_S, reading: live('ended', list) });
      if (state.phase === 'storing') send({ type: 'stored', takeId: takeIdOf(state)!, reading });
      return atS + 10 + HOLD_S;
    },
  };
}

function armed(plan: readonly PlanItem[] = [dry(1), dry(2)]) {
  const game = play();
  game.send({ type: 'begin', plan });
  game.send({ type: 'arm' });
  return game;
}

describe('hands-free capture', () => {
  it('measures the whole order after being armed once', () => {
    const game = armed();
    const atS = game.crank(0);
    expect(game.state).toMatchObject({ phase: 'moving', at: 1, armed: true });
    game.send({ type: 'live', atS: atS + MOVE_S, reading: live('ended') });
    expect(game.state.phase).toBe('zeroing');
    game.crank(atS + MOVE_S);
    expect(game.state).toMatchObject({ phase: 'done', at: 2, armed: false });
    expect(game.said()).toEqual([
      'waiting',
      'cranking',
      'settled',
      'stored',
      'waiting',
      'cranking',
      'settled',
      // The last figure and "all done" are one announcement: two would cut each other short.
      'done',
    ]);
  });

  it('does not take pressure held in the hose for rest, and repeats the zero until it is released', () => {
    const game = armed();
    const held = live('rest', [], { zeroKpa: 900 });
    game.send({ type: 'live', atS: 0.6, reading: held });
    expect(game.state).toMatchObject({ phase: 'zeroing', notAtRest: true });
    const again = game.send({ type: 'live', atS: 1.1, reading: held });
    expect(again).toEqual([{ do: 'analyse', fromS: 1.1 }]);
    // The window still contains the held pressure, so its end is not taken for rest yet.
    game.send({ type: 'live', atS: 1.7, reading: live('rest') });
    expect(game.state).toMatchObject({ phase: 'zeroing', notAtRest: true });
    game.send({ type: 'live', atS: 2.1, reading: live('rest') });
    game.send({ type: 'live', atS: 2.7, reading: live('rest') });
    expect(game.state).toMatchObject({ phase: 'waiting' });
  });

  it('checks the zero against the previous cylinder’s, which an absolute sensor reads at rest', () => {
    const game = armed();
    const rest = live('rest', [], { zeroKpa: 100 });
    game.send({ type: 'live', atS: 1, reading: rest });
    expect(game.state).toMatchObject({ phase: 'waiting', zeroKpa: 100 });
    game.send({ type: 'skip' });
    game.send({ type: 'live', atS: 2, reading: live('rest', [], { zeroKpa: 60 }) });
    expect(game.state).toMatchObject({ phase: 'zeroing', notAtRest: true });
  });

  it('zeroes again when the pressure falls below the zero while waiting', () => {
    const game = armed();
    game.send({ type: 'live', atS: 1, reading: live('rest', [], { zeroKpa: 80 }) });
    expect(game.state.phase).toBe('waiting');
    const low = live('rest', [], { zeroKpa: 80, pressureKpa: -79 });
    game.send({ type: 'live', atS: 3, reading: low });
    // An open hose shows intake strokes below zero; these do not last.
    expect(game.state.phase).toBe('waiting');
    game.send({ type: 'live', atS: 3 + LOW_S, reading: low });
    expect(game.state).toMatchObject({ phase: 'zeroing', zeroKpa: null });
  });

  it('does not take intake strokes for released pressure', () => {
    const game = armed();
    game.send({ type: 'live', atS: 1, reading: live('rest') });
    for (let atS = 2; atS < 6; atS += 0.25) {
      const pressureKpa = atS % 0.5 === 0 ? -60 : 0;
      game.send({ type: 'live', atS, reading: live('rest', [], { pressureKpa }) });
      expect(game.state.phase).toBe('waiting');
    }
  });

  it('keeps at least two seconds before the first stroke', () => {
    const game = armed();
    game.crank(10);
    const opened = game.actions.find((action) => action.do === 'open-take');
    expect(opened).toMatchObject({ item: dry(1), fromS: 12 });
  });

  it('waits until the hose is released, without a time limit', () => {
    const game = armed();
    const atS = game.crank(0);
    const held = live('ended', [], { pressureKpa: 880 });
    game.send({ type: 'live', atS: atS + MOVE_S + 60, reading: held });
    expect(game.state.phase).toBe('moving');
    game.send({ type: 'live', atS: atS + MOVE_S + 61, reading: live('ended') });
    expect(game.state.phase).toBe('zeroing');
  });

  it('continues the same take when cranking resumes', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    game.send({ type: 'live', atS: 5, reading: live('ended', [stroke(1, 1.8)]) });
    const id = takeIdOf(game.state)!;
    game.send({ type: 'live', atS: 5.5, reading: live('cranking', [stroke(1, 1.8), stroke(2, 5.4)]) });
    expect(game.state).toMatchObject({ phase: 'cranking', takeId: id });
  });

  describe('on a check-valve hose at level pressure', () => {
    /** Cranked until level with this many strokes. */
    function level(strokes: number) {
      const game = armed();
      const list = Array.from({ length: strokes }, (_, i) => stroke(i + 1, 1.8 + i * 0.4));
      game.send({ type: 'live', atS: 1, reading: live('rest') });
      game.send({ type: 'live', atS: 5, reading: live('cranking', list) });
      const stay = (atS: number, phase: LiveReading['phase'] = 'level') =>
        game.send({ type: 'live', atS, reading: live(phase, list, { pressureKpa: 900 }) });
      stay(6);
      return { game, stay };
    }

    it('asks whether the starter still turns, and never ends a take of few strokes by level pressure alone', () => {
      const { game, stay } = level(3);
      expect(game.said()).toContain('still-cranking');
      stay(6 + LEVEL_S);
      stay(6 + 4 * LEVEL_S);
      expect(game.state.phase).toBe('holding');
      expect(game.said().filter((kind) => kind === 'still-cranking')).toHaveLength(1);
    });

    it('ends the take once the pressure is released', () => {
      const { game, stay } = level(3);
      stay(6 + LEVEL_S);
      expect(stay(6.2 + LEVEL_S, 'ended')).toContainEqual({
        do: 'finish-take',
        takeId: takeIdOf(game.state)!,
      });
    });

    it('ends the take after long level pressure with all required strokes', () => {
      const { game, stay } = level(6);
      stay(5.9 + LEVEL_S);
      expect(game.state.phase).toBe('holding');
      stay(6 + LEVEL_S);
      expect(game.state.phase).toBe('storing');
    });

    it('announces "settled" once', () => {
      const { game } = level(3);
      for (const atS of [7, 8]) {
        const reading = live('level', [stroke(1, 1.8), stroke(2, 2.2)], { settled: true });
        game.send({ type: 'live', atS, reading });
      }
      expect(game.said().filter((kind) => kind === 'settled')).toHaveLength(1);
    });
  });

  it('takes a single bump for the hose being screwed in, and keeps waiting', () => {
    const game = armed();
    game.crank(0, 1);
    expect(game.actions).toContainEqual({ do: 'set-aside', takeId: expect.any(String) });
    expect(game.state).toMatchObject({ phase: 'moving', at: 0, armed: true });
    expect(game.said()).not.toContain('stored');
  });

  it('stores even a short take when stopped by hand', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    expect(game.send({ type: 'stop' })).toEqual([{ do: 'finish-take', takeId: takeIdOf(game.state)! }]);
  });

  it('ends a take by itself when the starter is held for too long', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    game.send({ type: 'live', atS: 2 + LONGEST_TAKE_S, reading: live('cranking', [stroke(1, 1.8)]) });
    expect(game.state.phase).toBe('storing');
  });

  it('restarts the analysis during a long wait', () => {
    const game = armed();
    game.send({ type: 'live', atS: 1, reading: live('rest') });
    const asked = game.send({ type: 'live', atS: FRESH_AFTER_S + 1, reading: live('rest') });
    expect(asked).toEqual([{ do: 'analyse', fromS: FRESH_AFTER_S + 1 - 3 }]);
    expect(game.state.phase).toBe('waiting');
  });

  it('stores the samples so far when the source ends, and disarms', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    game.send({ type: 'source-ended' });
    expect(game.state).toMatchObject({ phase: 'storing', armed: false });
    game.send({ type: 'stored', takeId: takeIdOf(game.state)!, reading });
    expect(game.state).toMatchObject({ phase: 'idle', at: 1, armed: false });
  });

  it('does not arm while arming is not allowed', () => {
    const game = play();
    game.send({ type: 'begin', plan: [dry(1)] });
    game.canArm = false;
    game.send({ type: 'arm' });
    expect(game.state).toMatchObject({ phase: 'idle', armed: false });
  });
});

describe('undo and retake', () => {
  it('retakes the cylinder stored last and keeps the earlier take', () => {
    const game = armed();
    game.crank(0);
    game.send({ type: 'retake' });
    expect(game.state).toMatchObject({ phase: 'moving', at: 0, armed: true });
    expect(game.actions.some((action) => action.do === 'set-aside')).toBe(false);
  });

  it('arms for a retake after the plan is done', () => {
    const game = armed([dry(1)]);
    game.crank(0);
    expect(game.state.phase).toBe('done');
    game.send({ type: 'retake' });
    expect(game.state).toMatchObject({ phase: 'zeroing', at: 0, armed: true });
  });

  it('sets the current take aside when skipped', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    const id = takeIdOf(game.state)!;
    expect(game.send({ type: 'skip' })).toEqual([
      { do: 'set-aside', takeId: id },
      { do: 'move-hose', item: dry(2) },
    ]);
  });

  it('undoes a stored take: set aside, and its cylinder is current again', () => {
    const game = armed();
    game.crank(0);
    const id = game.state.lastTakeId;
    const undone = game.send({ type: 'undo' });
    expect(undone[0]).toEqual({ do: 'set-aside', takeId: id });
    expect(game.state).toMatchObject({ at: 0, lastTakeId: null });
  });

  it('undoes skip, choose and condition', () => {
    const game = armed([dry(1), dry(2), dry(3)]);
    game.send({ type: 'skip' });
    game.send({ type: 'choose', item: { cylinder: 1, condition: 'wet' } });
    game.send({ type: 'condition', condition: 'dry' });
    expect(game.state.plan[game.state.at]).toEqual(dry(1));
    game.send({ type: 'undo' });
    expect(game.state.plan[game.state.at]).toEqual({ cylinder: 1, condition: 'wet' });
    game.send({ type: 'undo' });
    expect(game.state.plan[game.state.at]).toEqual(dry(2));
    game.send({ type: 'undo' });
    expect(game.state).toMatchObject({ at: 0, plan: [dry(1), dry(2), dry(3)], history: [] });
  });

  it('relabels the current take when oil is added', () => {
    const game = armed();
    game.send({ type: 'live', atS: 2, reading: live('cranking', [stroke(1, 1.8)]) });
    expect(game.send({ type: 'condition', condition: 'wet' })).toEqual([
      { do: 'relabel-take', takeId: takeIdOf(game.state)!, item: { cylinder: 1, condition: 'wet' } },
    ]);
  });
});

import type { Announcement } from '../capture/announcement.ts';
import type { Note, Voice } from '../platform/ports.ts';
import type { Settings } from './model.ts';

/** Sound, vibration and speech of an announcement. Rising notes: continue; two high: settled; falling: attention needed. */
interface Cue {
  readonly notes: readonly Note[];
  readonly vibrateMs: readonly number[];
  /** Also spoken. The others would only add noise while the engine is cranked. */
  readonly spoken: boolean;
}

const note = (hz: number, ms: number): Note => ({ hz, ms });
const PAUSE = note(0, 60);

const CUES: Readonly<Record<Announcement['kind'], Cue>> = {
  waiting: { notes: [note(660, 90), note(880, 140)], vibrateMs: [60], spoken: true },
  cranking: { notes: [note(440, 60)], vibrateMs: [30], spoken: false },
  settled: { notes: [note(1320, 120), PAUSE, note(1320, 200)], vibrateMs: [120, 80, 120], spoken: true },
  'still-cranking': { notes: [note(880, 120), note(660, 120)], vibrateMs: [80, 80], spoken: true },
  'not-read': { notes: [note(660, 90), note(440, 180)], vibrateMs: [200], spoken: true },
  'too-short': { notes: [note(330, 250), note(330, 250)], vibrateMs: [300, 100, 300], spoken: true },
  stored: { notes: [note(660, 90), note(880, 90), note(1100, 180)], vibrateMs: [200], spoken: true },
  done: {
    notes: [note(660, 120), note(990, 120), note(1320, 320)],
    vibrateMs: [200, 100, 200],
    spoken: true,
  },
  'needle-unseen': { notes: [note(520, 200), note(390, 300)], vibrateMs: [300, 100, 300], spoken: true },
  'link-lost': { notes: [note(520, 200), note(390, 300)], vibrateMs: [300, 100, 300], spoken: true },
  'not-saved': { notes: [note(520, 200), note(390, 300)], vibrateMs: [300, 100, 300], spoken: true },
};

/** Plays the cue of an announcement as far as the settings allow. `words`: the text to speak. */
export function announce(voice: Voice, kind: Announcement['kind'], words: string, settings: Settings): void {
  const how = CUES[kind];
  if (settings.sound) voice.tone(how.notes, settings.volume);
  if (settings.vibration) voice.vibrate(how.vibrateMs);
  if (settings.speech && how.spoken) voice.say(words, settings.language, settings.volume);
}

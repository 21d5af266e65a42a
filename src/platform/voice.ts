import type { Voice } from './ports.ts';

/** Fade-in and fade-out of a tone, to avoid clicks. */
const EDGE_MS = 12;

/** Web Audio, speech synthesis and vibration, where the browser supports them. */
export function createVoice(): Voice {
  let context: AudioContext | null = null;
  return {
    wake() {
      if (typeof AudioContext === 'undefined') return;
      context ??= new AudioContext();
      void context.resume().catch(() => {});
    },
    tone(notes, volume) {
      if (!context || volume <= 0) return;
      let at = context.currentTime + 0.02;
      for (const note of notes) {
        const end = at + note.ms / 1000;
        if (note.hz > 0) {
          const oscillator = context.createOscillator();
          const gain = context.createGain();
          oscillator.frequency.value = note.hz;
          gain.gain.setValueAtTime(0, at);
          gain.gain.linearRampToValueAtTime(volume, at + EDGE_MS / 1000);
          gain.gain.setValueAtTime(volume, end - EDGE_MS / 1000);
          gain.gain.linearRampToValueAtTime(0, end);
          oscillator.connect(gain).connect(context.destination);
          oscillator.start(at);
          oscillator.stop(end);
        }
        at = end;
      }
    },
    say(text, language, volume) {
      if (!('speechSynthesis' in window) || text === '') return;
      const words = new SpeechSynthesisUtterance(text);
      words.lang = language;
      words.volume = volume;
      // The newest text replaces one that is still being spoken.
      speechSynthesis.cancel();
      speechSynthesis.speak(words);
    },
    vibrate(patternMs) {
      if ('vibrate' in navigator) navigator.vibrate([...patternMs]);
    },
  };
}

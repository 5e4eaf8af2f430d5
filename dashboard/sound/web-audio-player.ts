import type { Pattern } from './next-sound.ts';
import type { Player } from './player.ts';
import { RHYTHMS, renderRhythm } from './rhythm.ts';

/** The only file that knows of Web Audio. `onBlocked` tells when the device takes the sound away or gives it back. */
export function createWebAudioPlayer(onBlocked: (isBlocked: boolean) => void): Player {
  let context: AudioContext | null = null;
  let playing: { readonly pattern: Pattern; readonly source: AudioBufferSourceNode } | null = null;

  const stop = (): void => {
    playing?.source.stop();
    playing?.source.disconnect();
    playing = null;
  };
  return {
    unlock() {
      try {
        context ??= new AudioContext();
      } catch {
        onBlocked(true);
        return;
      }
      const made = context;
      const tell = (): void => onBlocked(made.state !== 'running');
      made.onstatechange = tell;
      made.resume().then(tell, tell);
    },
    play(pattern) {
      if (!context || pattern === (playing?.pattern ?? null)) return;
      stop();
      if (pattern === null) return;
      const samples = renderRhythm(RHYTHMS[pattern], context.sampleRate);
      const buffer = context.createBuffer(1, samples.length, context.sampleRate);
      buffer.copyToChannel(samples, 0);
      const source = context.createBufferSource();
      source.buffer = buffer;
      source.loop = true;
      source.connect(context.destination);
      source.start();
      playing = { pattern, source };
    },
    close() {
      stop();
      void context?.close();
      context = null;
    },
  };
}

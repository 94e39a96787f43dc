// Short sounds that differ in pitch and in rhythm, so that they can be told apart beside a grinder.
const SOUNDS = { // Hz and seconds, one after the other
  done: [[880, 0.08], [1320, 0.12]],
  close: [[660, 0.12], [0, 0.08], [660, 0.12]],
  refused: [[220, 0.25], [0, 0.08], [180, 0.4]],
  waits: [[520, 0.08]],
};

let audio = null;

/** Plays a sound by name; unknown names and browsers without sound stay silent. */
export function play(name) {
  const notes = SOUNDS[name];
  if (!notes || !window.AudioContext) return;
  audio ??= new AudioContext();
  audio.resume?.();
  let at = audio.currentTime + 0.01;
  for (const [pitch, length] of notes) {
    if (pitch) {
      const tone = audio.createOscillator(), loud = audio.createGain();
      tone.type = "square";
      tone.frequency.value = pitch;
      loud.gain.setValueAtTime(0.12, at);
      loud.gain.exponentialRampToValueAtTime(0.001, at + length);
      tone.connect(loud).connect(audio.destination);
      tone.start(at);
      tone.stop(at + length);
    }
    at += length;
  }
}

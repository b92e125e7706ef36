// Telling somebody whose eyes are on the roof: words spoken, a tone, a buzz, the page's title, and
// a notification where it was allowed before. Each of them may be missing; the words on the page are
// always there.

const TONE_HZ = 880;
const BUZZ_MS = [400, 150, 400];

let sound = null;
const title = document.title;

/** Makes the phone ready to sound: browsers allow it only after a touch. */
function readySound() {
  const Context = window.AudioContext;
  if (!Context) return;
  sound ??= new Context();
  if (sound.state === "suspended") sound.resume();
}

function tone() {
  if (sound?.state !== "running") return;
  for (const start of [0, 0.5, 1]) {
    const voice = sound.createOscillator();
    const loudness = sound.createGain();
    voice.frequency.value = TONE_HZ;
    loudness.gain.value = 0.4;
    voice.connect(loudness).connect(sound.destination);
    voice.start(sound.currentTime + start);
    voice.stop(sound.currentTime + start + 0.3);
  }
}

function speak(text) {
  if (!window.speechSynthesis) return;
  const words = new SpeechSynthesisUtterance(text);
  words.lang = "en-GB";
  speechSynthesis.speak(words);
}

function notify(text) {
  if (document.visibilityState === "visible" || window.Notification?.permission !== "granted") return;
  try {
    new Notification(text);
  } catch {
    // Some phones let only a service worker show one.
  }
}

/** Says something in every way that the phone has. */
export function speakUp(text) {
  document.title = `${text} ${title}`;
  tone();
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(BUZZ_MS);
  speak(text);
  notify(text);
}

/** Gives the page its own title back. */
export function beQuiet() {
  document.title = title;
}

let lock = null;

/** Keeps the screen on, or lets it go dark again. */
export async function keepAwake(wanted) {
  if (!navigator.wakeLock || document.visibilityState !== "visible") return;
  try {
    if (wanted && (!lock || lock.released)) lock = await navigator.wakeLock.request("screen");
    else if (!wanted && lock) await lock.release().then(() => (lock = null));
  } catch {
    // The phone saves its battery: the clocks go by the time of day and lose nothing.
  }
}

document.addEventListener("pointerdown", readySound);

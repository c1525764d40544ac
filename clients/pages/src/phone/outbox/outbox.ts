import { computed, signal } from '@preact/signals';
import { isSignedIn } from '../../kit/service/session.js';
import type { OutboxEntry } from '../store/entries.js';
import { askToPersist } from '../store/database.js';
import { entriesOf, keepReport, photosOf } from '../store/outbox.js';
import { who } from '../signed-in/who.js';
import { type SendingEnd, sendAll } from './sending.js';

/** A report, and how many of its photos wait. */
export interface Shown extends OutboxEntry {
  photosWaiting: number;
  photosRefused: number;
}

const loaded = signal<{ who: string; entries: readonly Shown[] } | null>(null);

/** Whether it is known what waits. Until then, nothing is claimed. */
export const isKnown = computed(() => loaded.value !== null && loaded.value.who === who.value?.key);
/** The reports of the person, the latest first; never those of another. */
export const outbox = computed<readonly Shown[]>(() => (isKnown.value ? (loaded.value?.entries ?? []) : []));
export const isSending = signal(false);
/** How the last attempt ended; null before the first. */
export const lastEnd = signal<SendingEnd | null>(null);
/** The browser may clear away what is kept when the phone runs out of room. */
export const isPersistent = signal<boolean | null>(null);

const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 300_000;
let waitMs = FIRST_WAIT_MS;
let timer: ReturnType<typeof setTimeout> | undefined;

export async function refresh(): Promise<void> {
  const person = who.value;
  const entries = person === null ? [] : await entriesOf(person.key);
  const shown: Shown[] = [];
  for (const entry of entries) {
    const photos = await photosOf(entry.id);
    const photosRefused = photos.filter(({ problem }) => problem !== null).length;
    shown.push({ ...entry, photosWaiting: photos.length - photosRefused, photosRefused });
  }
  loaded.value = person === null ? null : { who: person.key, entries: shown };
}

/** Whether a report or one of its photos is still to be sent. */
export const isWaiting = ({ state, photosWaiting }: Shown): boolean =>
  state === 'waiting' || (state === 'sent' && photosWaiting > 0);

/** Keeps a finished report, and begins to send it. */
export async function finish(entry: OutboxEntry): Promise<void> {
  await keepReport(entry);
  await refresh();
  void sendNow();
}

/** Sends what waits. Only one page of the browser does so at a time. */
export async function sendNow(): Promise<void> {
  clearTimeout(timer);
  const person = who.value;
  if (person === null || isSending.value) return;
  isSending.value = true;
  try {
    lastEnd.value = isSignedIn() ? await oneAtATime(() => sendAll(person.key, Date.now)) : 'not-signed-in';
  } finally {
    isSending.value = false;
    await refresh();
  }
  again(lastEnd.value);
}

async function oneAtATime(send: () => Promise<SendingEnd>): Promise<SendingEnd> {
  if (navigator.locks === undefined) return send();
  const ended = await navigator.locks.request('weephole-outbox', { ifAvailable: true }, (lock) =>
    lock === null ? null : send(),
  );
  return ended ?? 'held-back';
}

function again(end: SendingEnd | null): void {
  if (end === 'all-sent') waitMs = FIRST_WAIT_MS;
  if (!outbox.value.some(isWaiting) || end === 'not-signed-in') return;
  timer = setTimeout(() => void sendNow(), waitMs);
  if (end === 'no-answer') waitMs = Math.min(2 * waitMs, LONGEST_WAIT_MS);
}

function atOnce(): void {
  waitMs = FIRST_WAIT_MS;
  void sendNow();
}

/** Sends at the start, when the network comes back and when the page comes to the front. */
export async function beginSending(): Promise<void> {
  addEventListener('online', atOnce);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') atOnce();
  });
  isPersistent.value = await askToPersist().catch(() => false);
  await refresh();
  await sendNow();
}

import { MS_PER_DAY } from '../calendar/zone.js';
import { counterTold, type CounterLimits } from './counter-limits.js';
import { heldDetail } from './held-detail.js';
import { EMPTY_CORE, judgeReading, type CounterEntry } from './judge-usage-reading.js';
import { message } from './messages.js';
import type { CounterCore, CounterState, CounterVerdict } from './types.js';

/**
 * The history without the last believed reading, kept up to date while readings do not fit that
 * reading.
 */
interface Alternative {
  core: CounterCore;
  before: CounterCore | null;
  members: { entry: CounterEntry; life: number }[];
}

/**
 * Runs through the readings of one counter in time order. What is not the last believed reading is
 * settled; the last one can still be contradicted: when readings that do not fit with it, and at
 * least two of them a day or more apart, fit the history without it, it is held and they are
 * believed. A manager's word is never contradicted.
 */
export class CounterScan {
  private core: CounterCore;
  private before: CounterCore | null;
  private lastId: string | null;
  private lastAt: number | null;
  private alternative: Alternative | null = null;
  readonly verdicts = new Map<string, CounterVerdict>();

  constructor(
    private readonly limits: CounterLimits,
    start: CounterState | null,
  ) {
    this.core = start?.core ?? EMPTY_CORE;
    this.before = start?.before ?? null;
    this.lastId = start?.lastId ?? null;
    this.lastAt = start?.lastAt ?? null;
  }

  /** Takes the next reading. Gives the instant of the reading that it contradicts, or null. */
  take(entry: CounterEntry): number | null {
    const judgement = judgeReading(this.limits, this.core, entry);
    if (judgement.fits) {
      this.settle(entry, judgement.life, judgement.next, this.core);
      return null;
    }
    // Accepting a later, higher figure says nothing against the one before it.
    const isForcedAhead = entry.forced && judgement.life > this.core.head!.life;
    const contradicted = isForcedAhead ? null : this.tryWithoutLast(entry);
    if (contradicted !== null) return contradicted;
    if (entry.forced) {
      this.settle(entry, judgement.life, judgement.next, this.core);
      return null;
    }
    const detail = heldDetail(this.limits, this.core, entry, judgement);
    this.verdicts.set(entry.id, { reason: judgement.reason!, detail });
    this.core = judgement.next;
    return null;
  }

  /** Whether nothing is pending: only then does `state` say all. */
  get isClean(): boolean {
    return this.alternative === null;
  }

  get state(): CounterState {
    return { core: this.core, before: this.before, lastId: this.lastId, lastAt: this.lastAt };
  }

  private settle(entry: CounterEntry, life: number, core: CounterCore, before: CounterCore | null): void {
    this.verdicts.set(entry.id, { life });
    this.core = core;
    this.before = entry.forced ? null : before;
    this.lastId = entry.id;
    this.lastAt = entry.at;
    this.alternative = null;
  }

  private tryWithoutLast(entry: CounterEntry): number | null {
    if (this.before === null || this.lastId === null) return null;
    const alternative = (this.alternative ??= { core: this.before, before: null, members: [] });
    const judgement = judgeReading(this.limits, alternative.core, entry);
    const previous = alternative.core;
    if (!judgement.fits) {
      if (!entry.forced) alternative.core = judgement.next;
      return null;
    }
    alternative.core = judgement.next;
    alternative.before = previous;
    alternative.members.push({ entry, life: judgement.life });
    const first = alternative.members[0]!.entry;
    if (!entry.forced && entry.at - first.at < MS_PER_DAY) return null;
    return this.adopt(alternative, entry);
  }

  private adopt(alternative: Alternative, entry: CounterEntry): number {
    const { members } = alternative;
    const shown = members.map((member) => counterTold(this.limits, member.entry.raw));
    const contradictedAt = this.lastAt!;
    this.verdicts.set(this.lastId!, {
      reason: 'contradicted',
      detail: message('usage-contradicted', {
        by: entry.forced ? 'manager' : 'later-readings',
        figures: shown.length === 1 ? 'one' : shown.length === 2 ? 'two' : 'several',
        first: shown[0]!,
        last: shown.at(-1)!,
      }),
    });
    for (const member of members) this.verdicts.set(member.entry.id, { life: member.life });
    const { life } = members.at(-1)!;
    this.settle(entry, life, alternative.core, alternative.before);
    return contradictedAt;
  }
}

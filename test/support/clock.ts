import { Clock } from '../../src/platform/clock/clock.js';

/** A clock that a test sets. */
export class TestClock extends Clock {
  constructor(private at: Date) {
    super();
  }

  override now(): Date {
    return new Date(this.at);
  }

  moveTo(at: string | Date): void {
    this.at = new Date(at);
  }

  moveDays(days: number): void {
    this.at = new Date(this.at.getTime() + days * 86_400_000);
  }
}

/**
 * A time zone in which it is about noon now. There, a fleet's morning sweep is over by the real
 * clock.
 */
export function zoneAtNoon(): string {
  const ahead = 12 - new Date().getUTCHours();
  // The signs in these zone names are reversed (IANA time zone database).
  return ahead === 0 ? 'Etc/GMT' : `Etc/GMT${ahead > 0 ? '-' : '+'}${Math.abs(ahead)}`;
}

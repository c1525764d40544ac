import { Clock } from '../../src/platform/clock/clock.js';

/** A clock that stands where a test puts it. */
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

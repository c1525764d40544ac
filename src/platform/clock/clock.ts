import { Injectable } from '@nestjs/common';

/** The only place that reads the time; tests replace it with a clock of their own. */
@Injectable()
export class Clock {
  now(): Date {
    return new Date();
  }
}

import { Injectable } from '@nestjs/common';

/** The one place that reads the time; tests put a clock of their own in its stead. */
@Injectable()
export class Clock {
  now(): Date {
    return new Date();
  }
}

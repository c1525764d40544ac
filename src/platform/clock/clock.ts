import { Injectable } from '@nestjs/common';

/** The only place that reads the current time. Tests replace it. */
@Injectable()
export class Clock {
  now(): Date {
    return new Date();
  }
}

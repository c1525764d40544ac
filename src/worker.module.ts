import { Module } from '@nestjs/common';
import { JOB_HANDLERS, type JobHandlers, WorkRunner } from './platform/queue/work-runner.js';

/** What the worker is made of; every queued job's handler is listed here and nowhere else. */
@Module({
  providers: [
    { provide: JOB_HANDLERS, inject: [], useFactory: (): JobHandlers => ({ work: {}, deliveries: {} }) },
    WorkRunner,
  ],
})
export class WorkerModule {}

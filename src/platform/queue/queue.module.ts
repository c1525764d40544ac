import { Global, Module } from '@nestjs/common';
import { Config } from '../config/config.js';
import { openQueue } from './backends.js';
import { QUEUE_CONNECTIONS, QUEUES, WorkQueue } from './work-queue.js';

/** The queue, of whichever backend the settings name. */
@Global()
@Module({
  providers: [
    {
      provide: QUEUE_CONNECTIONS,
      inject: [Config],
      useFactory: (config: Config) => openQueue(config.queue, QUEUES.length * 2, config.queuePrefix),
    },
    WorkQueue,
  ],
  exports: [QUEUE_CONNECTIONS, WorkQueue],
})
export class QueueModule {}

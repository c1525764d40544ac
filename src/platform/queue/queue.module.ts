import { Global, Module } from '@nestjs/common';
import { Config } from '../config/config.js';
import { openQueue } from './backends.js';
import { QUEUE_CONNECTIONS, QUEUES, WorkQueue } from './work-queue.js';

/** The queue, on the backend that the settings name. */
@Global()
@Module({
  providers: [
    {
      provide: QUEUE_CONNECTIONS,
      inject: [Config],
      useFactory: async (config: Config) => {
        const connections = await openQueue(config, QUEUES.length * 2);
        await connections.assertUsable().catch(async (error: unknown) => {
          await connections.close();
          throw error;
        });
        return connections;
      },
    },
    WorkQueue,
  ],
  exports: [QUEUE_CONNECTIONS, WorkQueue],
})
export class QueueModule {}

import { Module } from '@nestjs/common';
import { EventPruningService } from './event-pruning.service.js';
import { StreamSettingsModule } from './stream-settings.module.js';

/** The worker's part in event streams. */
@Module({ imports: [StreamSettingsModule], providers: [EventPruningService], exports: [EventPruningService] })
export class DueListEventsWorkModule {}

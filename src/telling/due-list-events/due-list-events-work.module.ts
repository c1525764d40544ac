import { Module } from '@nestjs/common';
import { EventPruningService } from './event-pruning.service.js';
import { StreamSettingsModule } from './stream-settings.module.js';

/** What the worker does for the streams. */
@Module({ imports: [StreamSettingsModule], providers: [EventPruningService], exports: [EventPruningService] })
export class DueListEventsWorkModule {}

import { Module } from '@nestjs/common';
import { DueListEventsController } from './due-list-events.controller.js';
import { DueListEventsService } from './due-list-events.service.js';
import { EventHub } from './event-hub.js';
import { EventTexts } from './event-texts.js';
import { NoticeListener } from './notice-listener.js';
import { StreamPlaces } from './stream-places.js';
import { StreamSettingsModule } from './stream-settings.module.js';

@Module({
  imports: [StreamSettingsModule],
  controllers: [DueListEventsController],
  providers: [DueListEventsService, EventHub, EventTexts, NoticeListener, StreamPlaces],
  exports: [EventHub],
})
export class DueListEventsModule {}

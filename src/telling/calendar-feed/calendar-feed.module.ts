import { Module } from '@nestjs/common';
import { DueListModule } from '../../conclusions/due-list/due-list.module.js';
import { CalendarFeedController } from './calendar-feed.controller.js';
import { CalendarFeedService } from './calendar-feed.service.js';

@Module({
  imports: [DueListModule],
  controllers: [CalendarFeedController],
  providers: [CalendarFeedService],
})
export class CalendarFeedModule {}

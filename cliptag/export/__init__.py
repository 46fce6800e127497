"""What leaves the coach's computer: timeline, captions, WebVTT, video, transcript."""

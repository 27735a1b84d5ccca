/* The one place that states the version: 'farend --version', every JSON head, farend_version(). */
#ifndef FAREND_REPORT_VERSION_H
#define FAREND_REPORT_VERSION_H

#define FAREND_VERSION "0.1.0"

#endif

/**
 * The folders of a site: files dropped into the inbox end in taken/ or refused/, in exactly one of
 * them whatever is interrupted; the office's stock file is watched and only ever read.
 */
@NullMarked
package org.kerftally.daemon.intake.folder;

import org.jspecify.annotations.NullMarked;

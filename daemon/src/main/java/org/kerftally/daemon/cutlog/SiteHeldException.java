package org.kerftally.daemon.cutlog;

/** Reports that another instance holds the site's folder. */
public final class SiteHeldException extends Exception {

  private static final long serialVersionUID = 1L;

  SiteHeldException(String message) {
    super(message);
  }
}

package org.kerftally.config;

/** Says whether messages may leave this machine in clear. */
public enum PlainText {
  /** They may not. */
  REFUSED("refused"),
  /** They may: whoever runs the site has said so. */
  ACCEPTED("accepted");

  private final String word;

  PlainText(String word) {
    this.word = word;
  }

  /** Returns the word that stands for it in the file. */
  public String word() {
    return word;
  }
}

package org.kerftally.daemon.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.net.URI;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.kerftally.config.BoardConfig;
import org.kerftally.daemon.results.JobStatus;
import org.openqa.selenium.By;
import org.openqa.selenium.Dimension;
import org.openqa.selenium.JavascriptExecutor;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;

/**
 * Looks at the page in a browser. Where there is none it is skipped and says so; with {@code
 * kerftally.require.peers=true} it fails.
 */
@Timeout(300)
class BoardIT {

  private static final File BROWSER = new File("/usr/bin/chromium");
  private static final File DRIVER = new File("/usr/bin/chromedriver");
  private static final Duration PATIENCE = Duration.ofSeconds(60);

  private static ChromeDriver browser;

  private final Workshop shop = new Workshop();
  private Board board;

  @BeforeAll
  static void startBrowser() {
    boolean present = BROWSER.canExecute() && DRIVER.canExecute();
    if (!present && Boolean.getBoolean("kerftally.require.peers")) {
      throw new AssertionError("kerftally.require.peers is set, and there is no " + BROWSER);
    }
    assumeTrue(present, "there is no " + BROWSER + " with " + DRIVER);
    ChromeOptions options = new ChromeOptions();
    options.setBinary(BROWSER);
    options.addArguments(
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run");
    ChromeDriverService service =
        new ChromeDriverService.Builder().usingDriverExecutable(DRIVER).usingAnyFreePort().build();
    browser = new ChromeDriver(service, options);
  }

  @AfterAll
  static void endBrowser() {
    if (browser != null) {
      browser.quit();
    }
  }

  @BeforeEach
  void open() {
    board = Board.open(new BoardConfig("127.0.0.1", 0), shop);
  }

  @AfterEach
  void close() {
    board.close();
  }

  @Test
  void countsAreShownAndAChangeArrivesByItself() {
    look(1920, 1080);
    until("made", "52");
    assertThat(text("[data-at=of]")).contains("of 100 made", "1 rejected", "2 short");
    assertThat(text("[data-at=target]")).isEqualTo("505 mm");
    assertThat(text("[data-at=part]")).contains("super side");
    assertThat(text("[data-at=plain]")).isEqualTo("Cutting");
    assertThat(text("[data-at=state]")).isEqualTo("Execute");
    assertThat(text("#jobs")).contains("Hoffman frames", "Greenhouse north wall");
    assertThat(text("#refusals")).contains("lids.csv", "line 7", "2 more problems");
    assertThat(text("footer")).contains("no safety function");
    shop.made(35);
    until("made", "53");
  }

  @Test
  void aFaultIsToldInWordsAndNotByColourAlone() {
    shop.stations = List.of(Workshop.stopped("saw1"));
    look(1920, 1080);
    until("plain", "Stopped by a fault");
    assertThat(text("[data-at=faults]")).isEqualTo("Fault: Emergency stop");
    assertThat(text("[data-at=armed]")).isEqualTo("Waits for acknowledge");
    assertThat(text("[data-at=target]")).isEqualTo("No target");
    assertThat(text("[data-at=position]")).isEqualTo("322 mm");
    assertThat(browser.findElements(By.cssSelector("[data-at=mark] svg"))).hasSize(1);
  }

  @Test
  void whatStandsInForALackingSignalUnfoldsUnderTheStation() {
    shop.notes = Map.of("saw1", List.of("the device has no <b>BootId</b>."));
    look(1920, 1080);
    until("made", "52");
    assertThat(text("[data-at=notes-count]")).isEqualTo("What this device lacks, 1 note");
    assertThat(text("[data-at=notes]")).isEmpty();

    browser.findElement(By.cssSelector("[data-at=notes-count]")).click();

    assertThat(text("[data-at=notes]")).isEqualTo("The device has no <b>BootId</b>.");
  }

  @Test
  void aNameWithMarkupStaysText() {
    String name = "<script>document.title='owned'</script><img src=x onerror=\"alert(1)\">";
    shop.jobs = List.of(Workshop.supers("evil", name, 3));
    shop.stations = List.of(Workshop.cutting(name, "evil"));
    look(1920, 1080);
    until("made", "21");
    assertThat(text("[data-at=name]")).isEqualTo(name);
    assertThat(text("#jobs td")).isEqualTo(name);
    assertThat(browser.getTitle()).isEqualTo("Kerftally board");
    assertThat(browser.findElements(By.tagName("img"))).isEmpty();
    assertThat(browser.findElements(By.tagName("script"))).hasSize(1);
  }

  @Test
  void aPhoneNeedsNoSidewaysScroll() {
    shop.jobs =
        List.of(
            Workshop.supers("long", "Anextraordinarilylongnamewithoutanyspaces".repeat(3), 34),
            Workshop.greenhouse("greenhouse-north", JobStatus.WAITING));
    shop.stations = List.of(Workshop.cutting("saw1", "long"), Workshop.stopped("saw2"));
    browser.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        Map.of("width", 360, "height", 740, "deviceScaleFactor", 1, "mobile", true));
    try {
      browser.get(board.url());
      until("made", "52");
      Object over =
          ((JavascriptExecutor) browser)
              .executeScript("return document.documentElement.scrollWidth - window.innerWidth;");
      assertThat(((Number) over).intValue()).isLessThanOrEqualTo(0);
      Object width = ((JavascriptExecutor) browser).executeScript("return window.innerWidth;");
      assertThat(((Number) width).intValue()).isEqualTo(360);
    } finally {
      browser.executeCdpCommand("Emulation.clearDeviceMetricsOverride", Map.of());
    }
  }

  @Test
  void theCautionIsInSightOnAWallScreenWithoutScrolling() {
    browser.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        Map.of("width", 1920, "height", 1080, "deviceScaleFactor", 1, "mobile", false));
    try {
      browser.get(board.url());
      until("made", "52");
      Object below =
          browser.executeScript(
              "return document.querySelector('footer').getBoundingClientRect().bottom"
                  + " - window.innerHeight;");
      assertThat(((Number) below).doubleValue()).isLessThanOrEqualTo(1);
    } finally {
      browser.executeCdpCommand("Emulation.clearDeviceMetricsOverride", Map.of());
    }
  }

  @Test
  void aBoardThatIsGoneIsSaidAndOneThatComesBackIsShown() {
    look(1920, 1080);
    until("made", "52");
    int port = URI.create(board.url()).getPort();
    board.close();
    await()
        .atMost(PATIENCE)
        .untilAsserted(() -> assertThat(text("#lost")).startsWith("No connection since "));
    assertThat(browser.findElement(By.tagName("body")).getDomAttribute("class")).contains("stale");
    assertThat(text("#heard")).startsWith("Old: as of ");
    shop.made(36);
    board = Board.open(new BoardConfig("127.0.0.1", port), shop);
    until("made", "54");
    assertThat(text("#lost")).isEmpty();
    assertThat(text("#heard")).startsWith("Live, ");
  }

  @Test
  void thePageWorksUnderItsOwnPolicyWithoutAComplaint() {
    look(1280, 800);
    until("made", "52");
    assertThat(browser.manage().logs().get("browser").getAll())
        .filteredOn(entry -> !isStreamOfAPageThatWasLeft(entry.getMessage()))
        .isEmpty();
  }

  /** Whoever leaves a page, or ends a board, cuts its stream of events; the browser notes it. */
  private static boolean isStreamOfAPageThatWasLeft(String message) {
    return message.contains("/api/events - Failed to load resource: net::ERR_INCOMPLETE_CHUNKED");
  }

  private void look(int width, int height) {
    browser.manage().window().setSize(new Dimension(width, height));
    browser.get(board.url());
  }

  private void until(String at, String text) {
    await()
        .atMost(PATIENCE)
        .untilAsserted(() -> assertThat(text("[data-at=" + at + "]")).isEqualTo(text));
  }

  private static String text(String selector) {
    return browser.findElements(By.cssSelector(selector)).stream()
        .findFirst()
        .map(WebElement::getText)
        .orElse("");
  }
}

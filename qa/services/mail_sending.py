"""One message through the mail server of the settings (RFC 5321), TLS verified."""

from __future__ import annotations

import smtplib
import ssl
from email.message import EmailMessage

from qa.settings import MailServer, MailTls

_LONGEST_WAIT_S = 30.0


class MailServerAwayError(Exception):
    """The server does not answer, or says that it cannot take the message now."""


def send(server: MailServer, message: EmailMessage) -> None:
    """Hands a message to the server.

    Raises:
        MailServerAwayError: it may be tried again later.
        smtplib.SMTPException: the server takes this message not at all.
    """
    try:
        with _connected(server) as connection:
            if server.user:
                connection.login(server.user, server.password)
            connection.send_message(message)
    except smtplib.SMTPRecipientsRefused as error:
        if all(code >= 500 for code, _ in error.recipients.values()):
            raise
        raise MailServerAwayError("The server cannot take the message now.") from error
    except (smtplib.SMTPSenderRefused, smtplib.SMTPDataError) as error:
        if error.smtp_code >= 500:
            raise
        raise MailServerAwayError(f"The server answered {error.smtp_code}.") from error
    except (OSError, smtplib.SMTPException) as error:  # settings that are wrong can be mended too
        raise MailServerAwayError("The server does not answer as the settings say.") from error


def _connected(server: MailServer) -> smtplib.SMTP:
    context = ssl.create_default_context()
    if server.tls is MailTls.TLS:
        return smtplib.SMTP_SSL(server.host, server.port, timeout=_LONGEST_WAIT_S, context=context)
    connection = smtplib.SMTP(server.host, server.port, timeout=_LONGEST_WAIT_S)
    if server.tls is MailTls.STARTTLS:
        try:
            connection.starttls(context=context)
        except BaseException:
            connection.close()
            raise
    return connection
